"""What the failures bench is made of: the catalogue as it is worked out, its list, and the case in view."""
