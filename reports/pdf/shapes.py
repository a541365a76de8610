"""Shapes as path operators: one for each status and outcome, each with an outline of its own, on a field of 24 by 24."""


def _polygon(*points: tuple[float, float]) -> str:
    first, *rest = points
    return " ".join([f"{first[0]:g} {first[1]:g} m", *(f"{x:g} {y:g} l" for x, y in rest), "h"])


def _ring(radius: float) -> str:
    """A circle about the middle of the field, in four curves."""
    r, k, c = radius, radius * 0.5522847498, 12
    return (
        f"{c - r:g} {c:g} m {c - r:g} {c - k:.4f} {c - k:.4f} {c - r:g} {c:g} {c - r:g} c "
        f"{c + k:.4f} {c - r:g} {c + r:g} {c - k:.4f} {c + r:g} {c:g} c "
        f"{c + r:g} {c + k:.4f} {c + k:.4f} {c + r:g} {c:g} {c + r:g} c "
        f"{c - k:.4f} {c + r:g} {c - r:g} {c + k:.4f} {c - r:g} {c:g} c h"
    )


_TICK_INSIDE = _polygon((5.6, 12.4), (7.9, 10.1), (10.9, 13.1), (16.3, 7.5), (18.6, 9.8), (10.9, 17.7))
_CROSS_INSIDE = _polygon(
    (6.8, 9.1), (9.7, 12), (6.8, 14.9), (9.1, 17.2), (12, 14.3), (14.9, 17.2),
    (17.2, 14.9), (14.3, 12), (17.2, 9.1), (14.9, 6.8), (12, 9.7), (9.1, 6.8),
)  # fmt: skip
_OCTAGON = _polygon((7.4, 1), (16.6, 1), (23, 7.4), (23, 16.6), (16.6, 23), (7.4, 23), (1, 16.6), (1, 7.4))
_CORNERS = " ".join(
    _polygon(
        (x, y),
        (x + 7 * right, y),
        (x + 7 * right, y + 2.4 * down),
        (x + 2.4 * right, y + 2.4 * down),
        (x + 2.4 * right, y + 7 * down),
        (x, y + 7 * down),
    )
    for x, y, right, down in ((1, 1, 1, 1), (23, 1, -1, 1), (23, 23, -1, -1), (1, 23, 1, -1))
)

SHAPES: dict[str, str] = {
    "met-criteria": f"{_ring(11.2)} {_ring(8.8)} {_TICK_INSIDE}",
    "restricted": f"{_polygon((12, 0.4), (23.6, 12), (12, 23.6), (0.4, 12))} {_polygon((12, 4.4), (4.9, 11.5), (19.1, 11.5))}",
    "do-not-use": f"{_OCTAGON} {_CROSS_INSIDE}",
    "no-verdict": f"{_CORNERS} {_polygon((5, 10.4), (19, 10.4), (19, 13.6), (5, 13.6))}",
    "met": _polygon((2, 13), (5, 10), (10, 15), (19, 5), (22, 8), (10, 21)),
    "not-met": _polygon(
        (6, 3), (12, 9), (18, 3), (21, 6), (15, 12), (21, 18), (18, 21), (12, 15), (6, 21), (3, 18), (9, 12), (3, 6)
    ),
    "not-tested": _polygon((2, 10), (22, 10), (22, 14), (2, 14)),
}
