"""The plan: what stands where, seen from above and to scale."""

from app.plan.view import PlanView

__all__ = ["PlanView"]
