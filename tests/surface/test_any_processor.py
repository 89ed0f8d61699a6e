"""What pictures are painted with comes out the same, to the bit, on processors with wide registers and without.

NumPy works sines, powers and the like out by other steps where it can take many numbers at once (NumPy issue 23523).
"""

from __future__ import annotations

import pytest
from processors import narrower, said_by

WOOD = """
import hashlib
import numpy as np
from kitforge.model.workshop import MaterialKind
from kitforge.pictures.shaded.palette import _lights
from kitforge.pictures.shaded.wood import Look, tone
draw = np.random.RandomState(7)
x, y, z = (draw.uniform(low, high, 200_000).astype(np.float32) for low, high in ((-400, 900), (-300, 700), (-30, 0)))
for family in MaterialKind:
    for along in (True, False):
        dark = tone(Look("#c09060", family, along, 30.0), x, y, z, 0.1)
        print(family, along, hashlib.sha256(np.ascontiguousarray(dark).tobytes()).hexdigest())
print("light", hashlib.sha256(_lights().tobytes()).hexdigest())
"""


@pytest.mark.skipif(not narrower(), reason="this processor has nothing that NumPy could do without")
def test_wood_and_light_are_the_same_without_wide_registers() -> None:
    assert said_by(WOOD, without=narrower()) == said_by(WOOD)
