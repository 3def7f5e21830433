"""Text columns of the result as categories in code-point order; tables under each other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Ints = NDArray[np.int64]


def of_codes(codes: Ints, labels: Sequence[str]) -> pd.Categorical:
    """Each code's label; a code below 0 is an empty text. Test: test_text_columns.py."""
    sorted_labels = sorted({*labels, ""})
    place = {label: number for number, label in enumerate(sorted_labels)}
    places = np.array([place[label] for label in labels] + [place[""]], dtype=np.int64)
    return _categorical(places[np.where(codes < 0, len(labels), codes)], sorted_labels)


def of_texts(texts: NDArray[np.object_]) -> pd.Categorical:
    """The texts as categories. Test: test_text_columns.py."""
    codes, labels = pd.factorize(texts.astype(object), sort=True)
    return _categorical(codes, labels.tolist())


def days_as_text(days: Ints) -> pd.Categorical:
    """Days since 1970-01-01 as ISO text. Test: test_text_columns.py."""
    labels, codes = np.unique(days, return_inverse=True)
    return _categorical(codes, labels.astype("M8[D]").astype(str).tolist())


def constant(text: str, size: int) -> pd.Categorical:
    """One text in every row. Test: test_text_columns.py."""
    return _categorical(np.zeros(size, dtype=np.int64), [text])


def _categorical(codes: Any, labels: Sequence[str]) -> pd.Categorical:
    index = pd.Index(list(labels), dtype=object)
    return pd.Categorical.from_codes(codes, categories=index, validate=False)


def stacked(frames: Sequence[pd.DataFrame]) -> pd.DataFrame:
    """Tables of the same columns under each other, their categories made one. Test: as above."""
    if len(frames) == 1:
        return frames[0]
    names = list(frames[0].columns)
    return pd.DataFrame({name: _joined([frame[name] for frame in frames]) for name in names})


def _joined(columns: Sequence[pd.Series[Any]]) -> Any:
    if not isinstance(columns[0].dtype, pd.CategoricalDtype):
        return np.concatenate([column.to_numpy() for column in columns])
    labels = sorted(set().union(*(column.cat.categories for column in columns)))
    place = {label: number for number, label in enumerate(labels)}
    codes = []
    for column in columns:
        places = np.array([place[label] for label in column.cat.categories], dtype=np.int64)
        codes.append(places[column.cat.codes.to_numpy()])
    return _categorical(np.concatenate(codes), labels)


def by_clinic(frame: pd.DataFrame) -> pd.DataFrame:
    """The rows sorted by the text of their clinic, otherwise in their order. Test: as above."""
    codes = frame["clinic"].cat.codes.to_numpy()
    if (codes[1:] >= codes[:-1]).all():
        return frame
    return frame.iloc[np.argsort(codes, kind="stable")].reset_index(drop=True)
