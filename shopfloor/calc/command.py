"""
`python -m shopfloor calc`: answers calculations line by line, to check them from outside.

Reads {"id", "calc", "inputs"}, writes {"id", "result"} or {"id", "error"}; decides nothing itself.
What must be said beside a result stands in "says", inputs that nobody knows in "ignored".
"""

import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final, TextIO

from shopfloor.calc.messages import MESSAGES
from shopfloor.calc.planning import PLANNING
from shopfloor.planning.opening import HorizonExceeded
from shopfloor.trade.calculators.declare import Calculator
from shopfloor.trade.calculators.reading import BadInput
from shopfloor.trade.calculators.registry import CALCULATORS

Inputs = Mapping[str, Any]

OTHERS: Final[Mapping[str, Callable[[Inputs], Any]]] = {**PLANNING, **MESSAGES}


def main(stdin: TextIO, stdout: TextIO) -> int:
    """Answer every line of `stdin` on `stdout` as it comes; always 0."""
    lines: Iterable[bytes | str] = getattr(stdin, "buffer", stdin)
    for line in lines:
        text = line.decode("utf-8", "replace") if isinstance(line, bytes) else line
        if text.strip():
            stdout.write(answer(text) + "\n")
            stdout.flush()
    return 0


def answer(line: str) -> str:
    """One line of answer to one line of question; a bad one gets an error."""
    try:
        question = json.loads(line)
    except (ValueError, RecursionError) as unreadable:
        return _error(None, f"not JSON: {unreadable}")
    if not isinstance(question, dict):
        return _error(None, 'not a question: write {"id", "calc", "inputs"}')
    name = question.get("id")
    try:
        told = _answer(str(question.get("calc")), question.get("inputs") or {})
        return json.dumps({"id": name, **told}, allow_nan=False)
    # Whatever a stranger's line breaks, the lines after it still get their answers.
    except Exception as wrong:
        return _error(name, _sentence(wrong))


def _answer(calc: str, inputs: Any) -> dict[str, Any]:
    if not isinstance(inputs, dict):
        raise TypeError('"inputs" must be an object')
    if calc in CALCULATORS:
        return _calculate(CALCULATORS[calc], inputs)
    if calc in OTHERS:
        return {"result": OTHERS[calc](inputs)}
    raise ValueError(f"unknown calc {calc}")


def _calculate(calculator: Calculator, inputs: Inputs) -> dict[str, Any]:
    given = calculator.read(inputs)
    result = calculator.work(**given)
    extra = {"says": calculator.say(given, result), "ignored": calculator.unknown(inputs)}
    return {"result": result, **{key: value for key, value in extra.items() if value}}


def _sentence(wrong: Exception) -> str:
    if isinstance(wrong, HorizonExceeded):
        return f"no_opening: {wrong}"
    if isinstance(wrong, BadInput):
        return f"{wrong.field} {wrong}".strip()
    if isinstance(wrong, KeyError):
        return f"unknown or missing: {wrong.args[0]}"
    if isinstance(wrong, TypeError | AttributeError):
        return f"an input is of the wrong type: {wrong}"
    return str(wrong) or type(wrong).__name__


def _error(name: Any, message: str) -> str:
    return json.dumps({"id": name, "error": message})
