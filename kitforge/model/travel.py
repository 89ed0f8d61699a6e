"""Travel: the way a cutter runs, as piece lengths and the corners between them, ready for time estimates."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from typing import TYPE_CHECKING

from kitforge.model.record import record

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SHARP = 150.0


@record(eq=False)
class Travel:
    """Straight pieces in running order. lengths: mm; angles: interior angle in degrees at the start of each piece.

    180 is straight on; 0 marks a start from rest, the first piece of every open chain and of every separate loop.
    chains: the points themselves, one array for each chain; a loop repeats its first point. Of shape (n, 2), or (n, 3)
    where the depth of the tip below the face changes along the way: it is the third column, and lengths and angles are
    those in space. One point alone, with its depth, is a plunge.
    """

    lengths: NDArray[np.float64]
    angles: NDArray[np.float64]
    chains: tuple[NDArray[np.float64], ...] = ()

    @property
    def length(self) -> float:
        """Whole length in mm."""
        return float(self.lengths.sum())

    @property
    def longest(self) -> float:
        """Length of the longest chain in mm, 0 if there is none."""
        starts = [*(self.angles == 0).nonzero()[0].tolist(), len(self.lengths)]
        return max((float(self.lengths[a:b].sum()) for a, b in itertools.pairwise(starts)), default=0.0)

    @property
    def corners(self) -> int:
        """How many turns are sharper than 30 degrees, starts from rest not counted."""
        return int(((self.angles > 0) & (self.angles < SHARP)).sum())

    @property
    def starts(self) -> int:
        """How many separate chains there are; the cutter goes down once for each in every layer."""
        return int((self.angles == 0).sum()) + sum(len(chain) == 1 for chain in self.chains)

    @property
    def deepest(self) -> float | None:
        """How deep the tip goes, mm, where the chains say so themselves; else None."""
        return max((float(chain[:, 2].max()) for chain in self.chains if chain.shape[1] == 3), default=None)


def travel_along(chains: Iterable[NDArray[np.float64]]) -> Travel:
    """Return the travel along chains of points, each of shape (n, 2) or (n, 3) in mm; a loop repeats its first point.

    The third column is a depth; a chain of one point with a depth is a plunge, which has no length.
    """
    import numpy as np

    lengths, angles, kept = [np.empty(0)], [np.empty(0)], []
    for chain in chains:
        points = np.asarray(chain, dtype=np.float64)
        steps = np.diff(points, axis=0)
        size = np.linalg.norm(steps, axis=1) if points.shape[1] == 3 else np.hypot(steps[:, 0], steps[:, 1])
        steps, size = steps[size > 0], size[size > 0]
        if not len(size):
            kept += [points[:1]] if points.shape[1] == 3 and len(points) else []
            continue
        kept.append(points)
        lengths.append(size)
        angles.append(np.concatenate([[0.0], np.maximum(180.0 - turns(steps), 1e-6)]))
    return Travel(np.concatenate(lengths), np.concatenate(angles), tuple(kept))


def turns(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return by how many degrees the way turns between each two steps, 0 to 180."""
    import numpy as np

    if steps.shape[1] == 3:
        one, other = steps[:-1], steps[1:]
        across = np.linalg.norm(np.cross(one, other), axis=1)
        turned: NDArray[np.float64] = np.degrees(np.arctan2(across, (one * other).sum(axis=1)))
        return turned
    turn = np.diff(np.degrees(np.arctan2(steps[:, 1], steps[:, 0])))
    flat: NDArray[np.float64] = np.abs((turn + 180.0) % 360.0 - 180.0)
    return flat
