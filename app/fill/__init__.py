"""Views of the fill bench: air, filling, draining, the leak test."""
