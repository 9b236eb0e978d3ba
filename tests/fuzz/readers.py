"""Coverage-guided fuzzing of the file readers, outside CI.

    .venv/bin/pip install atheris && .venv/bin/python -m tests.fuzz.readers SECONDS [FOLDER]

It starts from the shipped examples, and writes every input on which a reader ends in anything but an answer or its own
sentences to FOLDER (tests/fuzz/finds). Those are kept: tests/fuzz/test_finds.py reads them again in every test run. The
first line of a find names its reader.
"""

import hashlib
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
SEEDS = {  # reader: the examples it starts from
    "job": ["muddy-lot.toml", "ponding-silt.toml", "load-out.toml", "snow-lane.toml", "fence-posts.toml"],
    "fleet": ["fleet.toml", "snow-fleet.toml", "candidates.toml"],
    "weather": ["dock-lane-weather.csv"],
    "day": ["tuesday.toml"],
    "year": ["year.toml"],
    "rules": [],
}
_RULES = "[floats]\ngo = 0.9\n[ours]\nvalue = 2\n"


def read(reader: str, data: bytes, folder: Path) -> None:
    """Read a file of these bytes as a user's; PickrigError is an answer, anything else a find."""
    from pickrig.errors import PickrigError
    from pickrig.inputs import read_fleet, read_job
    from pickrig.inputs.board import read_board
    from pickrig.inputs.year import read_year
    from pickrig.rulebook import load_rules

    path = folder / ("limits.toml" if reader == "rules" else "weather.csv" if reader == "weather" else f"{reader}.toml")
    path.write_bytes(data)
    try:
        if reader == "rules":
            load_rules(folder)
        elif reader == "weather":
            (folder / "job.toml").write_text(_job_with_weather(), encoding="utf-8")
            read_job(folder / "job.toml", load_rules())
        else:
            readers = {"job": read_job, "fleet": read_fleet, "day": read_board, "year": read_year}
            readers[reader](path, load_rules())
    except PickrigError as error:
        if not str(error).strip():
            raise AssertionError("an error without a sentence") from error


def _job_with_weather() -> str:
    text = (EXAMPLES / "ponding-silt.toml").read_text(encoding="utf-8")
    return text.replace('"dock-lane-weather.csv"', '"weather.csv"')


def parted(find: bytes) -> tuple[str, bytes]:
    """Reader and file of a find."""
    head, _, body = find.partition(b"\n")
    name = head.decode("ascii", "replace")
    return (name, body) if name in SEEDS else ("job", find)


def corpus(folder: Path) -> None:
    """The examples as a first corpus."""
    for reader, names in SEEDS.items():
        for name in names:
            (folder / f"{reader}-{name}").write_bytes(f"{reader}\n".encode() + (EXAMPLES / name).read_bytes()[:6000])
    (folder / "rules").write_bytes(b"rules\n" + _RULES.encode())


def main(seconds: int, finds: Path) -> None:
    import atheris

    with atheris.instrument_imports(include=["pickrig", "tomllib", "csv"]):
        pass

    scratch = Path(tempfile.mkdtemp(dir="/dev/shm" if Path("/dev/shm").is_dir() else None))
    seen: set[str] = set()

    def once(data: bytes) -> None:
        reader, body = parted(data)
        folder = scratch / reader
        folder.mkdir(exist_ok=True)
        try:
            read(reader, body, folder)
        except Exception as error:  # every fault of ours is a find; go on looking for others
            place = error.__traceback__
            while place is not None and place.tb_next is not None:
                place = place.tb_next
            key = f"{type(error).__name__} {place.tb_frame.f_code.co_filename}:{place.tb_lineno}" if place else ""
            if key not in seen:
                seen.add(key)
                name = f"{reader}-{hashlib.sha256(data).hexdigest()[:10]}"
                (finds / name).write_bytes(f"{reader}\n".encode() + body)
                print(f"find {name}: {key}: {error}", flush=True)

    (scratch / "corpus").mkdir()
    corpus(scratch / "corpus")
    flags = [f"-max_total_time={seconds}", "-max_len=8000", "-timeout=20", "-rss_limit_mb=4096"]
    atheris.Setup([sys.argv[0], str(scratch / "corpus"), *flags], once)
    atheris.Fuzz()


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]) if len(sys.argv) > 2 else HERE / "finds")
