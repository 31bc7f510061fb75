"""Pictures as small files: few colours, and the same picture to the same bytes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import numpy as np
from PySide6.QtGui import QImage

LARGEST: Final = 200_000  # bytes of a picture
COLOURS: Final = 256


def keep(image: QImage, path: Path) -> None:
    """Write a picture in few colours, as small as it gets; the same one to the same bytes."""
    indexed(image).save(str(path), "PNG", 0)  # type: ignore[call-overload]  # 0: packed hardest
    size = path.stat().st_size
    if size > LARGEST:
        sys.exit(f"{path.name} has {size} bytes; {LARGEST} are enough.")


def indexed(image: QImage) -> QImage:
    """Return a picture with its most frequent colours; the others take the nearest of them."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    shape = image.height(), image.bytesPerLine() // 4
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(shape)[:, : image.width()]
    found, where, counts = np.unique(pixels, return_inverse=True, return_counts=True)
    table = found[np.argsort(-counts, kind="stable")[:COLOURS]]
    near = np.concatenate([_nearest(part, table) for part in np.array_split(found, 64)])
    rows = near[where].reshape(pixels.shape).astype(np.uint8)
    padded = np.zeros((rows.shape[0], -(-rows.shape[1] // 4) * 4), np.uint8)
    padded[:, : rows.shape[1]] = rows
    made = QImage(
        padded.tobytes(),
        rows.shape[1],
        rows.shape[0],
        padded.shape[1],
        QImage.Format.Format_Indexed8,
    )
    made.setColorTable([int(each) for each in table])
    return made.copy()


def _nearest(colours: np.ndarray, table: np.ndarray) -> np.ndarray:
    away = _channels(colours)[:, None, :] - _channels(table)[None, :, :]
    return np.argmin((away**2).sum(axis=2), axis=1)


def _channels(colours: np.ndarray) -> np.ndarray:
    shifted = colours.astype(np.int64)[:, None] >> np.array([16, 8, 0])
    return shifted & 255
