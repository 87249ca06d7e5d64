"""Dependencies point one way, files and functions stay short, a quick answer imports little."""

import ast
import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[1]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
MOST_LINES_OF_A_FILE = 500
MOST_LINES_OF_A_FUNCTION = 60
QUICK_PATH_MAY_IMPORT = {"turnwright", "msgspec"}
"""Packages outside the standard library that `select` may import."""
SLOW_PARTS_OF_THE_LIBRARY = {
    "asyncio",
    "concurrent.futures",
    "email",
    "http",
    "importlib.metadata",
    "inspect",
    "logging",
    "multiprocessing",
    "sqlite3",
    "ssl",
    "unittest",
    "urllib.request",
    "xml",
}
FILLED_STEP_BY_STEP = {"Words", "Standing"}
"""Records that are gathered while something is read; all others never change."""
RECORD = re.compile(r"^class (\w+)\((?:msgspec\.)?Struct\b([^)]*)\)", re.MULTILINE)
MADE = {".git", ".venv", "__pycache__", "build", "dist", "out", ".mypy_cache", ".ruff_cache", ".hypothesis"}
"""Folders that hold what was made, where git cannot say so."""
NOT_FOR_THE_PROJECT = re.compile(
    "|".join(
        (
            r"/w" + r"ork/",
            r"/h" + r"ome/\w",
            r"/r" + r"oot/",
            r"index" + r"-url",
            r"files\.python" + r"hosted",
            r"pypi\." + r"org",
            r"registry\.n" + r"pmjs",
            r"deb\.de" + r"bian",
        )
    )
)
"""Paths of one machine and hosts of registries."""


@cache
def project_files() -> tuple[Path, ...]:
    """Return the files of the project: those that git knows or would take, or all but what is made."""
    git = shutil.which("git") if (ROOT / ".git").exists() else None
    command = [git or "", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False) if git else None
    if listed is not None and listed.returncode == 0:
        paths = [ROOT / name for name in listed.stdout.split("\0") if name]
    else:
        paths = [path for path in ROOT.rglob("*") if not MADE & set(path.relative_to(ROOT).parts)]
    return tuple(sorted(path for path in paths if path.is_file()))


def python_files() -> tuple[Path, ...]:
    return tuple(path for path in project_files() if path.suffix == ".py")


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_dependencies_point_one_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert lint_imports(config_filename=str(ROOT / ".importlinter"), no_cache=True) == 0


@pytest.mark.parametrize("path", python_files(), ids=named)
def test_no_file_is_long(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES_OF_A_FILE


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Return the lines of a function without its docstring."""
    first = function.body[0]
    documented = ast.get_docstring(function) is not None
    lines = (function.end_lineno or function.lineno) - function.lineno + 1
    return lines - ((first.end_lineno or first.lineno) - first.lineno + 1 if documented else 0)


@pytest.mark.parametrize("path", python_files(), ids=named)
def test_no_function_is_long(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef))
    lengths = {function.name: code_lines(function) for function in functions}
    assert {name: length for name, length in lengths.items() if length > MOST_LINES_OF_A_FUNCTION} == {}


def test_records_never_change() -> None:
    sources = (path for path in python_files() if "src" in path.relative_to(ROOT).parts)
    texts = (path.read_text(encoding="utf-8") for path in sources)
    records = [found for text in texts for found in RECORD.findall(text)]
    assert {name for name, how in records if "frozen=True" not in how} == FILLED_STEP_BY_STEP


def test_no_machine_path_and_no_registry_host() -> None:
    found = []
    for path in project_files():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        found += [f"{named(path)}: {match[0]}" for match in NOT_FOR_THE_PROJECT.finditer(text)]
    assert found == []


def imported_by(code: str) -> set[str]:
    """Return the modules that a new interpreter has imported after `code`."""
    script = f"{code}\nimport sys\nprint('\\n' + ' '.join(sys.modules), file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(done.stderr.splitlines()[-1].split())


def foreign(modules: set[str]) -> set[str]:
    """Return the packages among modules that are neither of the standard library nor of the interpreter."""
    roots = {name.partition(".")[0] for name in modules}
    return {root for root in roots if root not in sys.stdlib_module_names and not root.startswith("_")}


@pytest.mark.parametrize("form", ["text", "json"])
@pytest.mark.parametrize("job", EXAMPLES, ids=lambda path: path.stem)
def test_a_quick_answer_imports_little(job: Path, form: str) -> None:
    words = ["select", str(job), "--format", form]
    at_start = imported_by("")
    modules = (
        imported_by(f"from turnwright.cli.main import main\nassert main({words!r}) in (0, 3, 4)") - at_start
    )
    assert foreign(modules) <= QUICK_PATH_MAY_IMPORT
    assert modules & SLOW_PARTS_OF_THE_LIBRARY == set()


def test_the_package_alone_imports_nothing_else() -> None:
    modules = imported_by("import turnwright") - imported_by("")
    assert {name for name in modules if name.startswith("turnwright")} == {"turnwright", "turnwright.version"}
    assert foreign(modules) == {"turnwright"}
