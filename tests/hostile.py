"""Words as an enemy would write them into a log, and a plan that holds them wherever a site file can put them."""

from dataclasses import replace

from hypothesis import strategies as st

from methodpick.plan.result import LogLayer, PlanDoubt

HOSTILE = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        [
            "<script>alert(1)</script>",
            "</svg><script>x</script>",
            "]]>",
            "&amp; & &lt;",
            "\"' onload='x'",
            "<!--",
            "-->",
            "{{ 7*7 }}",
            "{% raw %}",
            "\x00\x08\x1f\x7f\x9f",
            "\ud800",
            "\ufffe\uffff",
            "#set page(width: 1pt)",
            "\\",
            "$x$",
            "| a | b |",
            "# head",
            "[x](javascript:alert(1))",
            "<img src=x onerror=alert(1)>",
            "\u202etfel",
            "a" * 5000,
            "1. one",
            "- item",
            "\n\n## owned\n",
            "http://example.com/x.png",
        ]
    ),
)


def spoilt(plan, words):
    """Give the plan with foreign words wherever a site file can put them."""
    shafts = []
    for shaft in plan.shafts:
        ground = shaft.ground
        layers = tuple(LogLayer(one.top_m, one.base_m, one.soil_class, words, one.symbol) for one in ground.layers)
        log = replace(
            ground,
            layers=layers,
            technique=words,
            spt=tuple((depth, words) for depth, _ in ground.spt),
            remarks=tuple((depth, words) for depth, _ in ground.remarks),
        )
        shafts.append(
            replace(
                shaft,
                id=words,
                boring=words,
                ground=log,
                decision=words,
                doubts=(PlanDoubt("boring", words, words, words),),
                intervals=tuple(replace(one, layer=words) for one in shaft.intervals),
                casings=tuple(replace(one, seat_layer=words, why=words) for one in shaft.casings),
            )
        )
    return replace(plan, site_name=words, shafts=tuple(shafts), input=replace(plan.input, path=words))
