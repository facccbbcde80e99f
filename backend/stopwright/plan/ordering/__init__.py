"""In which order runs and visits are worked: exact for shop sizes, searched with a bound beyond. The door to runs."""

from stopwright.plan.ordering.runs import Axis, Order, load_stops, order_runs

__all__ = ["Axis", "Order", "load_stops", "order_runs"]
