"""How fast a rotary tool on a kelly bar gets down, by diameter and depth."""

from __future__ import annotations

from methodpick.mechanics.registry import Argument, formula, positive


@formula(
    title="Drilling rate by diameter and depth",
    symbols="1 / V = (D / 1 m)^n / V10 + 2 (H - 10 m) / (v h)",
    source="trips of the tool down and up for each bite, V = h / (t + 2 H / v), with t from the rate V10 of a shaft of 1 m at 10 m; "
    "exponents 0.6 to 0.9 in soil and about 1.4 in rock by rates of building-cost books",
    key="own",
    standing="weak",
    evidence="own",
    empirical=True,
    arguments={
        "rate_m_h": Argument("m/h", 0.01, 100, "+"),
        "diameter_m": Argument("m", 0.25, 6, "-"),
        "depth_m": Argument("m", 0, 200, "-"),
        "exponent": Argument("1", 0, 3),
        "bite_m": Argument("m", 0.1, 5),
        "hoist_m_h": Argument("m/h", 100, 20000),
    },
    unit="m/h",
    example=({"rate_m_h": 144 / 7, "diameter_m": 1.0, "depth_m": 30.0, "exponent": 0.7, "bite_m": 0.8, "hoist_m_h": 3600.0}, 16.0),
)
def drilling_rate(rate_m_h: float, diameter_m: float, depth_m: float, exponent: float, bite_m: float, hoist_m_h: float) -> float:
    """Compute the metres drilled in an hour at a depth, from the rate of a shaft of 1 m at 10 m.

    ``exponent`` tells how the rate falls with the diameter, ``bite_m`` what the tool brings up at a time, ``hoist_m_h`` how
    fast it travels.

    >>> round(drilling_rate(144 / 7, 1.0, 60.0, 0.7, 0.8, 3600.0), 3)
    12.0
    """
    hours_m = positive("diameter_m", diameter_m) ** exponent / positive("rate_m_h", rate_m_h)
    trips = 2.0 * (depth_m - 10.0) / (positive("bite_m", bite_m) * positive("hoist_m_h", hoist_m_h))
    return float(1.0 / max(hours_m + trips, 0.1 * hours_m))
