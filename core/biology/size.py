"""Length, weight and the plain growth formulas of the trade, each both ways."""

from math import exp, log

from core.species import LengthWeight


def weight_g(length_mm: float, of: LengthWeight) -> float:
    """W = a L^b, L in cm of total length (Froese 2006, J. Appl. Ichthyol. 22:241-253)."""
    return of.a.likely * float((length_mm / 10) ** of.b.likely)


def length_mm(weight_in_g: float, of: LengthWeight) -> float:
    """The length at which a fish has this weight."""
    return 10 * float((weight_in_g / of.a.likely) ** (1 / of.b.likely))


def mean_weight_g(mean_length_mm: float, spread: float, of: LengthWeight) -> float:
    """Mean weight of siblings whose lengths spread with this coefficient of variation (second-order in the spread).

    The mean of cubes is more than the cube of the mean: at a spread of 0.125, 4.7 % more.
    """
    b = of.b.likely
    return weight_g(mean_length_mm, of) * (1 + b * (b - 1) / 2 * spread**2)


def condition(weight_in_g: float, length_in_mm: float) -> float:
    """Fulton's condition factor K = 100 W / L^3, g and cm."""
    return float(100 * weight_in_g / (length_in_mm / 10) ** 3)


def thermal_growth_coefficient(start_g: float, end_g: float, temperature_c: float, days: float) -> float:
    """TGC = 1000 (W1^(1/3) - W0^(1/3)) / (T days) (Iwama & Tautz 1981; Jobling 2003).

    Some sources multiply by 100 instead. It holds only where growth rises steadily with temperature.
    """
    return float(1000 * (end_g ** (1 / 3) - start_g ** (1 / 3)) / (temperature_c * days))


def weight_after(start_g: float, coefficient: float, temperature_c: float, days: float) -> float:
    """The inverse: W1 = (W0^(1/3) + TGC / 1000 T days)^3."""
    return float((start_g ** (1 / 3) + coefficient / 1000 * temperature_c * days) ** 3)


def days_to_weight(start_g: float, end_g: float, coefficient: float, temperature_c: float) -> float:
    """Days from one weight to another at a steady temperature."""
    return float(1000 * (end_g ** (1 / 3) - start_g ** (1 / 3)) / (coefficient * temperature_c))


def specific_growth_rate(start_g: float, end_g: float, days: float) -> float:
    """SGR in per cent a day: 100 ln(W1 / W0) / days."""
    return 100 * log(end_g / start_g) / days


def von_bertalanffy(age: float, asymptote: float, rate: float, age_at_zero: float = 0.0) -> float:
    """L = Linf (1 - exp(-K (t - t0))); age and 1 / rate in the same unit."""
    return asymptote * (1 - exp(-rate * (age - age_at_zero)))


def von_bertalanffy_age(length: float, asymptote: float, rate: float, age_at_zero: float = 0.0) -> float:
    """The age at which a length below the asymptote is reached."""
    return age_at_zero - log(1 - length / asymptote) / rate


def weight_spread(spread: float, of: LengthWeight) -> float:
    """Coefficient of variation of weight that goes with one of length (first order: b times as much)."""
    return of.b.likely * spread


def condition_of(length_in_mm: float, of: LengthWeight) -> float:
    """Mean condition factor of a length-weight relation at a length: K = 100 a L^(b - 3) (Froese 2006)."""
    return float(100 * of.a.likely * (length_in_mm / 10) ** (of.b.likely - 3))
