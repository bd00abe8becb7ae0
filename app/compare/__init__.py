"""What the bench of comparison is made of: the layouts chosen, their table, overlaid plots, and sweeps."""
