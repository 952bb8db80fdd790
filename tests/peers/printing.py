"""Print a condition of the rulebook in the language of another engine, from the same checked tree that is compiled."""

from dataclasses import dataclass

from methodpick.engine.rule import Always, Arithmetic, Both, Compare, Either, FactRef, Not, Within


@dataclass(frozen=True)
class Infix:
    """An engine that writes ``a and b``, ``x < 1.5``, ``soil in [..]`` in words or signs of its own."""

    both: str
    either: str
    deny: str
    quote: str = '"'

    def condition(self, node):
        if isinstance(node, Always):
            return "true"
        if isinstance(node, Not):
            return f"{self.deny}({self.condition(node.part)})"
        if isinstance(node, (Both, Either)):
            sign = self.both if isinstance(node, Both) else self.either
            return "(" + f" {sign} ".join(self.condition(part) for part in node.parts) + ")"
        if isinstance(node, Within):
            return self.within(node)
        return f"({term(node.left)} {node.op} {term(node.right)})"

    def within(self, node):
        if node.words == {"yes"}:
            return node.name
        words = [f"{self.quote}{word}{self.quote}" for word in sorted(node.words)]
        return f"({node.name} == {words[0]})" if len(words) == 1 else f"({node.name} in [{', '.join(words)}])"


def term(node):
    """Print a number, a fact or the four operations; min, max and abs are no words of every engine and of none of the rules."""
    if isinstance(node, FactRef):
        return node.name
    if not isinstance(node, Arithmetic):
        return repr(float(node.value))
    if node.op not in "+-*/":
        raise ValueError(f"{node.op} cannot be printed")
    return f"({term(node.terms[0])} {node.op} {term(node.terms[1])})"


def prefix(node):
    """Print for CLIPS: ``(and (or (eq ?soil clay) (eq ?soil silt)) (< ?head 1.5))``."""
    if isinstance(node, Always):
        return "TRUE"
    if isinstance(node, Not):
        return f"(not {prefix(node.part)})"
    if isinstance(node, (Both, Either)):
        inner = " ".join(prefix(part) for part in node.parts)
        return f"({'and' if isinstance(node, Both) else 'or'} {inner})" if len(node.parts) > 1 else inner
    if isinstance(node, Within):
        return f"(neq (member$ ?{node.name} (create$ {' '.join(sorted(node.words))})) FALSE)"
    if isinstance(node, Compare):
        return f"({node.op} {_prefix_term(node.left)} {_prefix_term(node.right)})"
    raise ValueError(f"{node} cannot be printed")


def _prefix_term(node):
    if isinstance(node, FactRef):
        return f"?{node.name}"
    if not isinstance(node, Arithmetic):
        return repr(float(node.value))
    return f"({node.op} {' '.join(_prefix_term(part) for part in node.terms)})"
