"""The engines, each as it is called from Python: built once from the forty rules, then asked for the ids that fire at a place.

Where an engine can be used in two ways both are here: one program a rule, as its pages show, and all rules in one program
that gives a list of yes and no, which saves the way in and out of the engine for every rule.
"""

from importlib.metadata import version
from platform import python_version

from printing import Infix, prefix

from methodpick.engine.rulebook import Scope


class Ours:
    """This rulebook's own compiled scope."""

    name, package = "methodpick, point data", "methodpick"

    def __init__(self, rules, catalogue):
        self.scope = Scope("forty", rules, catalogue)
        self.fired = self.scope.fired

    def start(self):
        """Nothing to renew."""


class Twofold(Ours):
    """The same scope on sets, each judged on the whole range and at the likely values; gives the ids of both."""

    name = "methodpick, twice on sets"

    def __init__(self, rules, catalogue):
        super().__init__(rules, catalogue)
        self.fired = self.both

    def both(self, values):
        outcomes = self.scope.judge(values)
        return outcomes.fired(), outcomes.fired_likely()


class Any:
    """What the engines of others have in common."""

    def __init__(self, rules, catalogue):
        self.rules, self.catalogue = rules, catalogue
        self.ids = [rule.id for rule in rules]
        self.build()

    def start(self):
        """Renew what wears out, out of the measured time."""

    @property
    def version(self):
        return version(self.package)


class CelWords(Infix):
    """CEL, where ``a == "x" || a == "y"`` is answered in two thirds of the time of ``a in ["x", "y"]``."""

    def within(self, node):
        if node.words == {"yes"}:
            return node.name
        return "(" + " || ".join(f'{node.name} == "{word}"' for word in sorted(node.words)) + ")"


CEL, ZEN, RULE_ENGINE = CelWords("&&", "||", "!"), Infix("and", "or", "not ", "'"), Infix("and", "or", "not ")


class Cel(Any):
    """CEL in Rust, a program a rule, one context a place."""

    name, package = "cel-rust, a program a rule", "common-expression-language"

    def build(self):
        import cel

        self.context = cel.Context
        self.programs = [(rule.id, cel.compile(CEL.condition(rule.condition))) for rule in self.rules]

    def fired(self, place):
        context = self.context(variables=place)
        return [name for name, program in self.programs if program.execute(context)]


class CelWhole(Any):
    """CEL in Rust, all rules in one list."""

    name, package = "cel-rust, one program", "common-expression-language"

    def build(self):
        import cel

        self.program = cel.compile("[" + ", ".join(CEL.condition(rule.condition) for rule in self.rules) + "]")

    def fired(self, place):
        return [name for name, holds in zip(self.ids, self.program.execute(place), strict=True) if holds]


class Zen(Any):
    """The ZEN expression language, a compiled expression a rule."""

    name, package = "zen-engine, an expression a rule", "zen-engine"

    def build(self):
        import zen

        self.programs = [(rule.id, zen.compile_expression(ZEN.condition(rule.condition))) for rule in self.rules]

    def fired(self, place):
        return [name for name, program in self.programs if program.evaluate(place)]


class ZenWhole(Any):
    """The ZEN expression language, all rules in one list."""

    name, package = "zen-engine, one expression", "zen-engine"

    def build(self):
        import zen

        self.program = zen.compile_expression("[" + ", ".join(ZEN.condition(rule.condition) for rule in self.rules) + "]")

    def fired(self, place):
        return [name for name, holds in zip(self.ids, self.program.evaluate(place), strict=True) if holds]


class ZenTable(Any):
    """The ZEN decision table that collects every row that holds."""

    name, package = "zen-engine, a decision table", "zen-engine"

    def build(self):
        import json

        import zen

        rows = [{"_id": rule.id, "in": ZEN.condition(rule.condition), "out": f"'{rule.id}'"} for rule in self.rules]
        table = {
            "hitPolicy": "collect",
            "rules": rows,
            "inputs": [{"id": "in", "name": "when"}],
            "outputs": [{"id": "out", "name": "id", "field": "id"}],
        }
        nodes = [
            {"id": "a", "name": "in", "type": "inputNode"},
            {"id": "b", "name": "rules", "type": "decisionTableNode", "content": table},
            {"id": "c", "name": "out", "type": "outputNode"},
        ]
        edges = [{"id": one + other, "type": "edge", "sourceId": one, "targetId": other} for one, other in ("ab", "bc")]
        self.decision = zen.ZenEngine().create_decision(json.dumps({"nodes": nodes, "edges": edges}))

    def fired(self, place):
        return [row["id"] for row in self.decision.evaluate(place)["result"]]


class RuleEngine(Any):
    """rule-engine with the types of all facts given, a rule a rule."""

    name, package = "rule-engine, a rule a rule", "rule-engine"

    def build(self):
        import rule_engine

        kinds = {"number": rule_engine.DataType.FLOAT, "enum": rule_engine.DataType.STRING, "boolean": rule_engine.DataType.BOOLEAN}
        types = {name: kinds[spec.kind] for name, spec in self.catalogue.facts.items()}
        context = rule_engine.Context(type_resolver=rule_engine.type_resolver_from_dict(types))
        self.programs = [(rule.id, rule_engine.Rule(RULE_ENGINE.condition(rule.condition), context=context)) for rule in self.rules]

    def fired(self, place):
        return [name for name, program in self.programs if program.matches(place)]


class Clips(Any):
    """CLIPS: the place as a fact of a template, every rule that holds calls back with its id; renewed now and then, since it slows down."""

    name, package = "clipspy, one environment", "clipspy"

    def build(self):
        names = sorted({name for rule in self.rules for name in rule.facts})
        slots = " ".join(f"(slot {name})" for name in names)
        self.texts = [f"(deftemplate place {slots})"]
        for rule in self.rules:
            bound = " ".join(f"({name} ?{name})" for name in rule.facts)
            self.texts.append(f"(defrule {rule.id} (place {bound}) (test {prefix(rule.condition)}) => (fires {rule.id}))")
        self.words = {name for name in names if self.catalogue.facts[name].kind != "number"}
        self.start()

    def start(self):
        import clips

        self.symbol = clips.Symbol
        self.told = []
        self.environment = clips.Environment()
        self.environment.define_function(self.told.append, name="fires")
        for text in self.texts:
            self.environment.build(text)
        self.template = self.environment.find_template("place")

    def fired(self, place):
        self.told.clear()
        self.environment.reset()
        symbol = self.symbol
        self.template.assert_fact(
            **{
                name: symbol("yes" if value is True else "no" if value is False else value) if name in self.words else value
                for name, value in place.items()
            }
        )
        self.environment.run()
        return [str(name) for name in self.told]


class Bare(Any):
    """No engine but a yardstick: Python's own ``eval`` of all rules in one list, checked by nobody."""

    name, package = "Python's eval, no engine", "methodpick"

    def build(self):
        self.code = compile("[" + ", ".join(RULE_ENGINE.condition(rule.condition) for rule in self.rules) + "]", "<rules>", "eval")

    @property
    def version(self):
        return python_version()

    def fired(self, place):
        return [name for name, holds in zip(self.ids, eval(self.code, {}, place), strict=True) if holds]  # noqa: S307


PEERS = (Cel, CelWhole, Zen, ZenWhole, ZenTable, RuleEngine, Clips)
