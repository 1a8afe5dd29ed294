"""Where these names were before other regulations needed them."""

from pneusim.rules.quotient import STATIC, braking_quotient

__all__ = ["STATIC", "braking_quotient"]
