"""The desktop program. It holds no physics: it shows a build, and what `loopsim` says of it."""
