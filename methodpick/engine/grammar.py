"""The language of conditions, on one page.

::

    condition := condition or condition | condition and condition | not condition | (condition) | always
               | FACT                                   a yes/no fact
               | FACT in {WORD, WORD} | FACT not in {..} an enumeration
               | FACT == WORD | FACT != WORD
               | term < term | term <= term < term      < <= > >= between numbers of one unit
    term      := FACT | LIMIT | 0 | NUMBER | term + term | term - term | term * term | term / term | - term
               | min(term, term) | max(term, term) | abs(term)

FACT is a name of ``facts.yaml``, LIMIT a name of ``limits.yaml``, WORD a value of an enumeration; none is quoted.
``not`` binds tighter than ``and``, ``and`` tighter than ``or``. ``a < b < c`` means ``a < b and b < c``.

Units: both sides of a comparison, a sum or a ``min`` have one unit, as written in the files; a product or a quotient
has theirs (m*kPa, kPa/m), and a unit over itself has none. A bare NUMBER other than 0 has no unit, so a threshold
with a unit can only be a LIMIT, with its source. Numbers are never compared for equality.

Truth is three-valued. A fact is the set of values that it may have: ``x < limit`` is true where all of them lie below,
false where none does, open else; ``soil in {..}`` likewise. ``and``, ``or``, ``not`` follow Kleene: an open part leaves
the whole open only where it can still change it. A quotient whose divisor may be 0 may be anything. A fact named twice
is taken as if the two could differ, so ``x < 3 or x >= 3`` stays open where x is not known.

There are no attributes, other calls, texts, loops or tests whether a fact is known: nothing can escape, the cost is
known beforehand, and learning more can only turn open into true or false. A condition has at most 400 characters and
120 parts. It is parsed into a tree and never executed as text.
"""

from __future__ import annotations

import ast
from collections.abc import Mapping, Sequence

from methodpick.engine.rule import Always, Arithmetic, Both, Compare, Condition, Either, FactRef, LimitRef, Not, Number, Term, Within
from methodpick.errors import did_you_mean
from methodpick.patterns import pattern_of
from methodpick.records import record
from methodpick.vocabulary.catalogue import Catalogue, FactSpec, no_value_of
from methodpick.vocabulary.limits import Limit

MOST_CHARACTERS = 400
MOST_NODES = 120
_SPACE = pattern_of(r"\s")
_OTHER_SIGN = pattern_of(r"[^\sA-Za-z0-9_.,(){}<>=!+*/-]")
_NUMBERLIKE = pattern_of(r"(?<![\w.])\.?[0-9][\w.]*(?:(?<=[eE])[+-][0-9]+)?")
_NUMBER = pattern_of(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_ORDER = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">="}
_ARITHMETIC = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/"}


Near = tuple[str, Sequence[str]]


class ExpressionError(Exception):
    """A condition that cannot be read: what is wrong, at which character, and a hint."""

    def __init__(self, message: str, offset: int = 0, width: int = 1, hint: str = "", near: Near | None = None) -> None:
        """Take the message, its place in the text, and for a misspelt word the word with those that it could be."""
        super().__init__(message)
        self.message, self.offset, self.width, self._hint, self._near = message, offset, width, hint, near

    @property
    def hint(self) -> str:
        """Return what to do; the likeliest word is looked for only where somebody asks, since that takes longest."""
        return (did_you_mean(*self._near) if self._near else "") or self._hint


@record
class _Typed:
    term: Term
    unit: str | None


def parse(text: str, catalogue: Catalogue, limits: Mapping[str, Limit]) -> Condition:
    """Read a condition. Raises ExpressionError with the place of the first thing that is wrong.

    >>> parse("always", Catalogue({}), {})
    Always()
    """
    if text.strip() == "always":
        return Always()
    if len(text) > MOST_CHARACTERS:
        raise ExpressionError(f"the condition has {len(text)} characters; at most {MOST_CHARACTERS}")
    if sign := _OTHER_SIGN.search(text):
        raise ExpressionError(f"the sign {sign[0]} has no meaning in a condition", sign.start(), hint="names and words stand bare")
    for number in _NUMBERLIKE.finditer(text):
        if not _NUMBER.fullmatch(number[0]):
            raise ExpressionError(f"'{number[0]}' is no number", number.start(), len(number[0]), "like 0, 2, 1.5 or 1e-6")
    text = _SPACE.sub(" ", text)  # one line, so that a column is an index
    try:
        tree = ast.parse(text, mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        offset = max(0, (getattr(error, "offset", None) or len(text)) - 1)
        raise ExpressionError(
            "this is not a condition", min(offset, max(len(text) - 1, 0)), hint="see 'the language of conditions' in DEVELOPERS.md"
        ) from None
    if len(text) > MOST_NODES and sum(1 for _ in ast.walk(tree)) > 4 * MOST_NODES:  # never as many in a shorter text
        raise ExpressionError(f"the condition has more than {MOST_NODES} parts", hint="split it into several rules")
    return _Parser(text, catalogue, limits).condition(tree.body)


class _Parser:
    def __init__(self, text: str, catalogue: Catalogue, limits: Mapping[str, Limit]) -> None:
        self.text, self.catalogue, self.limits = text, catalogue, limits

    def fail(self, node: ast.AST, message: str, hint: str = "", near: Near | None = None) -> ExpressionError:
        start = getattr(node, "col_offset", 0)
        width = max(1, (getattr(node, "end_col_offset", start + 1) or start + 1) - start)
        return ExpressionError(message, start, width, hint, near)

    def source(self, node: ast.expr) -> str:
        return self.text[node.col_offset : node.end_col_offset]

    def condition(self, node: ast.expr) -> Condition:
        if isinstance(node, ast.BoolOp):
            parts = tuple(self.condition(value) for value in node.values)
            return Both(parts) if isinstance(node.op, ast.And) else Either(parts)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            return Not(self.condition(node.operand))
        if isinstance(node, ast.Name):
            spec = self.fact(node)
            if spec is None or spec.kind != "boolean":
                raise self.fail(node, f"'{node.id}' is not a yes/no fact")
            return Within(node.id, frozenset({"yes"}), node.id)
        if isinstance(node, ast.Compare):
            return self.comparison(node)
        raise self.fail(node, "this is not allowed in a condition", "comparisons, and, or, not, in")

    def fact(self, node: ast.Name) -> FactSpec | None:
        if node.id in self.catalogue:
            return self.catalogue.facts[node.id]
        if node.id in self.limits:
            return None
        names = (*self.catalogue.facts, *self.limits)
        raise self.fail(node, f"no fact and no limit is called '{node.id}'", near=(node.id, names))

    def comparison(self, node: ast.Compare) -> Condition:
        first = node.left
        if isinstance(first, ast.Name) and first.id in self.catalogue and (self.catalogue.facts[first.id].kind != "number"):
            return self.membership(node, self.catalogue.facts[first.id])
        parts: list[Condition] = []
        left = node.left
        for op, right in zip(node.ops, node.comparators, strict=True):
            if type(op) not in _ORDER:
                raise self.fail(right, "numbers are compared with < <= > >= only")
            this, following = self.term(left), self.term(right)
            if this.unit is not None and following.unit is not None and this.unit != following.unit:
                message = f"{self.source(left)} is in {this.unit}, {self.source(right)} in {following.unit}"
                raise self.fail(right, message, "compare numbers of one unit")
            text = f"{self.source(left)} {_ORDER[type(op)]} {self.source(right)}"
            parts.append(Compare(_ORDER[type(op)], this.term, following.term, text))
            left = right
        return parts[0] if len(parts) == 1 else Both(tuple(parts))

    def membership(self, node: ast.Compare, spec: FactSpec) -> Condition:
        if len(node.ops) != 1:
            raise self.fail(node, "words are not compared in a chain")
        op, right = node.ops[0], node.comparators[0]
        if isinstance(op, (ast.Eq, ast.NotEq)):
            words = [self.word(right, spec)]
        elif isinstance(op, (ast.In, ast.NotIn)) and isinstance(right, (ast.Set, ast.Tuple, ast.List)):
            words = [self.word(item, spec) for item in right.elts]
        else:
            raise self.fail(right, f"'{spec.name}' is compared with ==, != or in {{...}}")
        chosen = frozenset(words)
        if isinstance(op, (ast.NotEq, ast.NotIn)):
            chosen = frozenset(spec.words) - chosen
        return Within(spec.name, chosen, self.source(node))

    def word(self, node: ast.expr, spec: FactSpec) -> str:
        if not isinstance(node, ast.Name):
            raise self.fail(node, "a word is expected here", f"one of {', '.join(spec.words)}")
        if node.id not in spec.words:
            raise self.fail(node, no_value_of(node.id, spec), f"one of {', '.join(spec.words)}", (node.id, spec.words))
        return node.id

    def term(self, node: ast.expr) -> _Typed:
        if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)) and not isinstance(node.value, bool):
            if abs(node.value) > 1e15:
                raise self.fail(node, "this number is too large")
            return _Typed(Number(float(node.value)), None if node.value == 0 else "1")
        if isinstance(node, ast.Name):
            spec = self.fact(node)
            if spec is None:
                limit = self.limits[node.id]
                return _Typed(LimitRef(node.id, limit.value), limit.unit)
            if spec.kind != "number":
                raise self.fail(node, f"'{node.id}' is not a number")
            return _Typed(FactRef(node.id), spec.unit)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            inner = self.term(node.operand)
            return _Typed(Arithmetic("-", (Number(0.0), inner.term)), inner.unit)
        if isinstance(node, ast.BinOp) and type(node.op) in _ARITHMETIC:
            return self.arithmetic(node, _ARITHMETIC[type(node.op)])
        if isinstance(node, ast.Call):
            return self.call(node)
        raise self.fail(node, "this is not allowed in a condition", "facts, limits, + - * / and min, max, abs")

    def arithmetic(self, node: ast.BinOp, op: str) -> _Typed:
        left, right = self.term(node.left), self.term(node.right)
        terms = (left.term, right.term)
        if op in "+-":
            if left.unit is not None and right.unit is not None and left.unit != right.unit:
                raise self.fail(node, f"{left.unit} and {right.unit} cannot be added")
            return _Typed(Arithmetic(op, terms), left.unit if left.unit is not None else right.unit)
        first, second = left.unit or "1", right.unit or "1"
        if op == "*":
            unit = second if first == "1" else first if second == "1" else "*".join(sorted((first, second)))
        else:
            unit = "1" if first == second else first if second == "1" else f"{first}/{second}"
        return _Typed(Arithmetic(op, terms), unit)

    def call(self, node: ast.Call) -> _Typed:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name not in {"min", "max", "abs"} or node.keywords or not node.args or (name == "abs") != (len(node.args) == 1):
            raise self.fail(node, "only min(a, b), max(a, b) and abs(a) may be called")
        parts = [self.term(argument) for argument in node.args]
        units = {part.unit for part in parts if part.unit is not None}
        if len(units) > 1:
            raise self.fail(node, f"the numbers in {name}() have different units")
        return _Typed(Arithmetic(name, tuple(part.term for part in parts)), units.pop() if units else None)
