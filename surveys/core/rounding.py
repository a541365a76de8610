"""Numbers rounded, for comparison and for display: half to even, exactly, without floats.

What is rounded has a unit where it comes from; how many digits are usual for a unit is said in units.py.
"""

from fractions import Fraction
from math import isqrt


def rounded(value: Fraction, places: int) -> Fraction:
    """The value rounded half to even at a number of decimals (ASTM E29 names this the rounding method)."""
    return Fraction(round(value * 10**places), 10**places)


def rounded_root(square: Fraction, places: int) -> Fraction:
    """The root of an exact square, rounded half to even at a number of decimals, without floats."""
    wanted = square * 10 ** (2 * places)
    root = isqrt(wanted.numerator // wanted.denominator)
    middle = Fraction(2 * root + 1, 2) ** 2
    if wanted > middle or (wanted == middle and root % 2):
        root += 1
    return Fraction(root, 10**places)


def exact_root(square: Fraction) -> Fraction | None:
    """The root of a square where it is a fraction itself; None where it is irrational."""
    top, bottom = isqrt(square.numerator), isqrt(square.denominator)
    if top * top == square.numerator and bottom * bottom == square.denominator:
        return Fraction(top, bottom)
    return None


def plain(value: Fraction, places: int) -> str:
    """The value rounded at a number of decimals, as plain digits without needless zeros."""
    digits = round(value * 10**places)
    sign, digits = ("-" if digits < 0 else ""), abs(digits)
    whole, rest = divmod(digits, 10**places)
    tail = f"{rest:0{places}d}".rstrip("0") if places else ""
    return f"{sign}{whole}.{tail}" if tail else f"{sign}{whole}"


def _magnitude(value: Fraction) -> int:
    """The power of ten of the first digit: 0 for 1 to 9.99, -1 for 0.1 to 0.99."""
    top, bottom = abs(value.numerator), value.denominator
    power = len(str(top)) - len(str(bottom))
    return power if Fraction(top, bottom) >= Fraction(10) ** power else power - 1


def digits_of(value: Fraction, significant: int = 12) -> str:
    """The value to a number of significant digits, never in powers of ten."""
    if not value:
        return "0"
    return plain_or_whole(value, significant - 1 - _magnitude(value))


def plain_or_whole(value: Fraction, places: int) -> str:
    """As `plain`, where a negative number of places rounds whole digits."""
    if places >= 0:
        return plain(value, places)
    step = 10**-places
    return str(round(value / step) * step)


def digits_of_root(square: Fraction, significant: int = 9) -> str:
    """The root of an exact square to a number of significant digits."""
    if not square:
        return "0"
    exact = exact_root(square)
    if exact is not None:
        return digits_of(exact, significant)
    places = max(0, significant - 1 - _magnitude(rounded_root(square, 40)))
    return plain(rounded_root(square, places), places)
