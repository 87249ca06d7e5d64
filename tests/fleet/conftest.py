"""Profiles and lists of units to try, made small."""

from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

HEAD = "unit,kva,primary,secondary,rise,insulation,no_load_loss,load_loss,load_loss_at,p_ecr,k_rating,time_constant"
ROW = "{name},75 kVA,480 delta,208Y/120,150 K,220 degC,350 W,1950 W,170 degC,0.08,1,{tau} h"


def write_units(path: Path, names, tau="1.5") -> Path:
    path.write_text("\n".join([HEAD, *(ROW.format(name=name, tau=tau) for name in names)]) + "\n", "utf-8")
    return path


def times(steps, start="2025-01-01T00:00", minutes=15):
    return np.datetime64(start, "ms") + np.arange(steps) * np.timedelta64(minutes * 60_000, "ms")


def load_of(number, steps):
    """A load with days and noise, rounded as meters do; each number another one."""
    rng = np.random.default_rng(number)
    day = 0.25 * np.sin(np.arange(steps) / 96 * 2 * np.pi + number)
    return np.round(np.clip(0.7 + day + 0.1 * rng.standard_normal(steps) + 0.05 * number, 0, 1.9), 3)


def ambient_of(steps):
    return np.round(25 + 8 * np.sin(np.arange(steps) / 96 * 2 * np.pi - 2), 1)


def profile(names, steps=192, start="2025-01-01T00:00", **more):
    """A table of units one after another."""
    names = list(names)
    columns = {
        "unit": np.repeat(names, steps),
        "time": pa.array(np.tile(times(steps, start), len(names))),
        "load_pu": np.concatenate([load_of(i, steps) for i in range(len(names))]).astype(np.float32),
        "ambient_c": np.tile(ambient_of(steps), len(names)).astype(np.float32),
    }
    return pa.table({**columns, **more})


def write(path: Path, table, rows=None) -> Path:
    pq.write_table(table, path, row_group_size=rows)
    return path


@pytest.fixture
def place(tmp_path):
    """A folder with a list of the units A, B and C, and a folder for results."""
    write_units(tmp_path / "units.csv", "ABC")
    (tmp_path / "out").mkdir()
    return tmp_path


@pytest.fixture
def make():
    """What makes profiles and lists."""
    names = (write_units, times, load_of, ambient_of, profile, write)
    return SimpleNamespace(**{each.__name__: each for each in names})
