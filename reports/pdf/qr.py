"""A hood's address as a square code of whole printer dots."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import segno

from reports.core.sheets import QUIET_ZONE, on_dot_mm
from reports.pdf.style import BLACK, Pages

MASK = 3  # fixed: choosing one is what makes a code slow, and any of the eight is read alike


@dataclass(frozen=True)
class Code:
    """The dark marks of one address as ready path operators, and how many modules a side has."""

    modules: int
    operators: str

    @property
    def field(self) -> int:
        """Modules of a side with its quiet zone."""
        return self.modules + 2 * QUIET_ZONE


@lru_cache(maxsize=4096)
def code(address: str) -> Code:
    """The code of an address; one in capitals needs fewer modules. Correction level M: 15 % may be lost."""
    matrix = segno.make(address, error="m", micro=False, mask=MASK, boost_error=False).matrix
    runs = []
    for row, cells in enumerate(matrix):
        start = None
        for column, dark in enumerate([*cells, 0]):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                runs.append(f"{start} {row} {column - start} 1 re")
                start = None
    return Code(len(matrix), " ".join(runs) + " f")


def module_mm(dpi: int, dots: int) -> float:
    """The side of a module made of whole printer dots [mm]."""
    return dots * 25.4 / dpi


def dots_within(code: Code, room: float, dpi: int) -> int:
    """The most whole dots a module may have so that code and quiet zone fit a square of this side [mm]; at least one."""
    return max(1, int(room / code.field * dpi / 25.4 + 1e-6))


def draw(
    pages: Pages,
    address: str,
    x: float,
    y: float,
    room: float,
    dpi: int,
    *,
    flush: Literal["left", "middle", "right"] = "middle",
) -> tuple[float, float]:
    """Draw the code inside a square of white `room`; the answer is the left edge and the side of its dark part [mm].

    `flush` puts the dark part at that edge of the room, which must then have white beside it.
    """
    made = code(address)
    module = module_mm(dpi, dots_within(made, room, dpi))
    dark = made.modules * module
    x += {"left": 0.0, "middle": (room - dark) / 2, "right": room - dark}[flush]
    x, y = on_dot_mm(x, dpi), on_dot_mm(y + (room - dark) / 2, dpi)
    pages.marks(made.operators, x, y, module, BLACK)
    return x, dark
