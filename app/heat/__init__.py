"""The views of the heat bench: temperatures against limits, the budget, the air, and the course in time."""
