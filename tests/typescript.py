"""What the phone's own code answers to a question, bundled and run by Node."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

FRONTEND = Path(__file__).parents[1] / "frontend"
ESBUILD = FRONTEND / "node_modules" / ".bin" / "esbuild"

needs_node = pytest.mark.skipif(not ESBUILD.exists(), reason="needs `npm ci` in frontend/")

_ASKING = """
import { readFileSync } from "node:fs";

function tell(answer) {
  process.stdout.write(JSON.stringify(answer(JSON.parse(readFileSync(0, "utf8")))));
}
"""


def typescript_answers(script: str, question: Any, folder: Path) -> Any:
    """
    What a script makes of a question, both as JSON.

    script  imports from ./src/… and ends with tell(function of the question)
    """
    bundle = folder / "script.mjs"
    subprocess.run(
        [ESBUILD, "--bundle", "--format=esm", "--platform=node", f"--outfile={bundle}"],
        input=_ASKING + script,
        cwd=FRONTEND,
        text=True,
        check=True,
        capture_output=True,
    )
    told = subprocess.run(
        ["node", bundle], input=json.dumps(question), text=True, check=True, capture_output=True
    )
    return json.loads(told.stdout)
