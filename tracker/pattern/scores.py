"""Normal scores: how many standard deviations from the middle so much of a normal distribution lies below."""

from __future__ import annotations

AT_90 = 1.2815515655446004
"""90 % lie below it, 10 % below -AT_90: four in five between the two."""
AT_95 = 1.6448536269514722
"""95 % lie below it, 5 % below -AT_95: nine in ten between the two."""
AT_98 = 2.0537489106318225
"""98 % lie below it: 24 in 25 between -AT_98 and it."""
