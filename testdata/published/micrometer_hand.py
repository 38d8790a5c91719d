"""Recomputes by hand the check of an outside micrometer 0-25 mm at three points
and the caliper of EA-4/02, supplement S10, and prints micrometer_hand.csv.

Mark: own. It shares nothing with the Go code: it was written from the model and
the data alone, in 50 digits, and needs only mpmath.

    python3 micrometer_hand.py > micrometer_hand.csv

The model (after JCGM 100:2008, H.1), with th = t - 20 degC:

    e = mean - sum(l_i)*(1 + a_s*th_s - a_g*th_g)

Written with the mean and the difference of temperatures and coefficients, the
product is a_mean*(th_s - th_g) + (a_s - a_g)*th_mean exactly. The budget follows
the second form and has no line for u(a_mean)*(th_s - th_g)*L: here at most
0.0028 um, 5e-6 um of u_c.

The exact coverage interval is found twice: by inverting the product of the
characteristic functions, and without any characteristic function, by averaging
the distribution function of Student's t over the closed density of everything
else. The script stops unless both agree to 25 digits; how far they do stands in
the first lines of what it prints.
"""

from datetime import date

from mpmath import besselk, betainc, erf, erfc, exp, factorial, findroot, floor, mp, mpf, nstr, pi, sin, sqrt

mp.dps = 50
AGREE = mpf(10) ** -25

# The data. Lengths in mm where the name does not say um; all strings, so that
# every decimal is exact to the working precision.
BLOCKS = {  # nominal mm, deviation um, expanded uncertainty um (k = 2), of set GB-1
    "2.5": [("1.5", "-0.05", "0.06"), ("1", "-0.02", "0.06")],
    "12.9": [("1.9", "0.01", "0.06"), ("11", "0.11", "0.06")],
    "22.8": [("1.8", "-0.02", "0.06"), ("21", "0.05", "0.06")],
}
READINGS = {
    "2.5": ["2.501", "2.501", "2.500"],
    "12.9": ["12.902", "12.902", "12.901"],
    "22.8": ["22.802", "22.803", "22.802"],
}
ALPHA_S = ALPHA_G = mpf("11.5e-6")  # 1/degC, each +-1e-6 rectangular
ALPHA_HALF = mpf("1e-6")
THETA_S, THETA_G = mpf("0.1"), mpf("0.4")  # degC above 20
YEARS = mpf((date(2026, 11, 16) - date(2026, 2, 3)).days) / mpf("365.25")
LIMIT = mpf(4)  # um


def shown(x, digits=25):
    return nstr(x, digits, strip_zeros=True, min_fixed=-12, max_fixed=12)


def student_factor(p, nu):
    """t with P(|T| <= t) = p."""
    inside = lambda t: 1 - betainc(mpf(nu) / 2, mpf(1) / 2, 0, nu / (nu + t * t), regularized=True)
    return findroot(lambda t: inside(t) - p, (mpf("1.9"), mpf("2.1")))


# --- one point ---------------------------------------------------------------

def contributions(point):
    """name -> (|c|u in um, kind, size in um): the size is a half-width for
    'rectangle', a standard deviation or scale otherwise. The two coefficients
    of expansion are independent inputs: e = x - l(1 + a_s th_s - a_g th_g)."""
    length = mpf(point) * 1000  # um, nominal
    blocks = BLOCKS[point]
    x = [mpf(r) * 1000 for r in READINGS[point]]
    n = len(x)
    mean = sum(x) / n
    s = sqrt(sum((v - mean) ** 2 for v in x) / (n - 1))
    root3, root6 = sqrt(mpf(3)), sqrt(mpf(6))
    drift = sum(YEARS * (mpf("0.05") + mpf("0.5e-6") * mpf(b[0]) * 1000) for b in blocks)
    alpha_mean = (ALPHA_S + ALPHA_G) / 2
    u_theta_mean = mpf("0.5") / root3
    u_alpha_difference = 2 * ALPHA_HALF / root6

    def rectangle(a):
        return a / root3, "rectangle", a

    def normal(u):
        return u, "normal", u

    return {
        "repeatability": (s / sqrt(mpf(n)), "t2", s / sqrt(mpf(n))),
        "resolution": rectangle(mpf("0.5")),
        "blocks": normal(sum(mpf(b[2]) / 2 for b in blocks)),
        "block drift": rectangle(drift),
        "temperature difference": rectangle(length * alpha_mean * mpf("0.5")),
        "mean temperature": rectangle(length * abs(ALPHA_S - ALPHA_G) * mpf("0.5")),
        "expansion of the blocks": rectangle(length * abs(THETA_S) * ALPHA_HALF),
        "expansion of the gauge": rectangle(length * abs(THETA_G) * ALPHA_HALF),
        "second order": normal(length * u_alpha_difference * u_theta_mean),
        "wringing": normal(mpf("0.02") * sqrt(mpf(len(blocks) - 1))),
        "flatness": rectangle(mpf("0.5")),
        "parallelism": rectangle(mpf(1)),
    }


def shapes(parts):
    """Scale of t(2), half-widths of rectangles, standard deviation of the normal."""
    scale, halves, variance = mpf(0), [], mpf(0)
    for _, kind, size in parts.values():
        if size == 0:
            continue
        if kind == "t2":
            scale = size
        elif kind == "rectangle":
            halves.append(size)
        else:
            variance += size ** 2
    return scale, halves, sqrt(variance)


def signed_sums(halves):
    """Every sum of +-a over the half-widths, with the product of its signs."""
    out = [(1, mpf(0))]
    for a in halves:
        out = [(sign * s, total + s * a) for sign, total in out for s in (1, -1)]
    return out


class Inverted:
    """Distribution of the sum by its characteristic function, P(|S| <= x) =
    (2/pi) * integral of sin(x*t)/t * phi(t). The rule is the trapezoidal one after
    t = exp(v - exp(-v)): double exponential at 0, where phi of t(2) has a
    logarithm, and at infinity, where phi falls exponentially."""

    def __init__(self, scale, halves, sigma):
        self.scale, self.halves, self.sigma = scale, halves, sigma
        self.nodes, self.finer = self.tabulate(mpf(1) / 96), self.tabulate(mpf(1) / 128)

    def phi(self, t):
        z = sqrt(mpf(2)) * self.scale * t
        out = z * besselk(1, z) * exp(-(self.sigma * t) ** 2 / 2)
        for a in self.halves:
            out *= sin(a * t) / (a * t)
        return out

    def tabulate(self, step):
        """Nodes t, and weights with dt/t = (1 + exp(-v)) dv."""
        nodes, v = [], mpf(-5)
        while v < 3 or exp(-self.scale * sqrt(mpf(2)) * t - (self.sigma * t) ** 2 / 2) > mpf(10) ** -45:
            t = exp(v - exp(-v))
            nodes.append((t, step * (1 + exp(-v)) * self.phi(t)))
            v += step
        return nodes

    def within(self, x, nodes=None):
        """P(|S| <= x)."""
        return 2 / pi * sum(w * sin(x * t) for t, w in (nodes or self.nodes))

    def below(self, x):
        return (1 + self.within(x)) / 2


class Averaged:
    """Distribution of the sum by averaging t(2), F(t) = 1/2 + t/(2 sqrt(2+t^2)),
    over the density of the rectangles and the normal. That density is smooth and
    falls off as a normal does, so that equal steps are as good as any rule."""

    def __init__(self, scale, halves, sigma):
        self.scale, self.sigma, self.n = scale, sigma, len(halves)
        self.divisor = factorial(self.n - 1)
        for a in halves:
            self.divisor *= 2 * a
        self.terms = signed_sums(halves)
        step, reach = mpf("0.025"), sum(halves) + 15 * sigma
        right = [(j * step, self.density(-j * step) * step) for j in range(1, int(reach / step) + 1)]
        self.nodes = [(0, self.density(mpf(0)) * step)] + right + [(-r, w) for r, w in right]

    def moment(self, z):
        """E[(z - Z)+^(n-1)], Z normal(0, sigma): M_k = z M_(k-1) + (k-1) sigma^2 M_(k-2)."""
        u = z / self.sigma
        before = erfc(-u / sqrt(mpf(2))) / 2
        now = z * before + self.sigma * exp(-u * u / 2) / sqrt(2 * pi)
        for k in range(2, self.n):
            before, now = now, z * now + (k - 1) * self.sigma ** 2 * before
        return now

    def density(self, r):
        """Iterated difference of the moment, for r <= 0 where little cancels."""
        return sum(sign * self.moment(r + shift) for sign, shift in self.terms) / self.divisor

    def below(self, x):
        t = lambda r: (x - r) / self.scale
        return sum(w * (1 + t(r) / sqrt(2 + t(r) ** 2)) / 2 for r, w in self.nodes)


def point_rows(point, worst):
    parts = contributions(point)
    blocks = BLOCKS[point]
    stack = sum(mpf(b[0]) + mpf(b[1]) / 1000 for b in blocks)
    reference = stack * (1 + ALPHA_S * THETA_S - ALPHA_G * THETA_G)
    mean = sum(mpf(r) for r in READINGS[point]) / len(READINGS[point])
    error = (mean - reference) * 1000
    u = sqrt(sum(p[0] ** 2 for p in parts.values()))
    nu = u ** 4 / (parts["repeatability"][0] ** 4 / 2)

    first, second = Inverted(*shapes(parts)), Averaged(*shapes(parts))
    half = findroot(lambda x: first.within(x) - mpf("0.95"), (2 * u, mpf("2.5") * u))
    inside = first.below(LIMIT - error) + first.below(LIMIT + error) - 1
    again = second.below(LIMIT - error) + second.below(LIMIT + error) - 1
    for x in (half, LIMIT + error):
        worst["step"].append(abs(first.within(x, first.finer) - first.within(x)))
    worst["p"].append(abs(2 * second.below(half) - 1 - mpf("0.95")))
    worst["conform"].append(abs(again - inside))
    factor = student_factor(mpf("0.95"), int(floor(nu)))

    yield point, "stack at 20 degC", shown(stack), "mm"
    yield point, "reference", shown(reference), "mm"
    yield point, "mean", shown(mean), "mm"
    yield point, "error", shown(error), "um"
    for name, (contribution, _, _) in parts.items():
        yield point, name, shown(contribution), "um"
    yield point, "combined standard uncertainty", shown(u), "um"
    yield point, "effective degrees of freedom", shown(nu), "1"
    yield point, "exact U 95 %", shown(half), "um"
    yield point, "exact k 95 %", shown(half / u), "1"
    yield point, "probability within limit", shown(inside), "1"
    yield point, "floor of effective degrees of freedom", str(int(floor(nu))), "1"
    yield point, "t 95 % of floor", shown(factor), "1"
    yield point, "GUM U 95 %", shown(factor * u), "um"


# --- EA-4/02 S10 ---------------------------------------------------------------

def rectangles_within(x, halves):
    """P(|S| <= x) for a sum of rectangles: the closed form, by truncated powers."""
    n, total, divisor = len(halves), mpf(0), factorial(len(halves))
    for a in halves:
        divisor *= 2 * a
    for sign, shift in signed_sums(halves):
        if x + shift > 0:
            total += sign * (x + shift) ** n
    return 2 * total / divisor - 1


def caliper_rows(c, suffix, worst):
    """On the flank of the trapezoid of the two wide rectangles (a, b) the small ones
    enter by their variance alone: 1 - F(x) = ((a+b-x)^2 + v)/(8ab), so that
    U = a + b - sqrt(4ab(1-p) - v). Checked by the truncated powers."""
    a, b = mpf(25), mpf(50)
    small = [mpf("0.8"), mpf(2) * mpf(c)]
    v = sum(h * h for h in small) / 3
    u = sqrt(v + (a * a + b * b) / 3)
    yield "150", "combined standard uncertainty" + suffix, shown(u), "um"
    for label, p in (("95 %", mpf("0.95")), ("95.45 %", mpf("0.9545")), ("erf(sqrt 2)", erf(sqrt(mpf(2))))):
        half = a + b - sqrt(4 * a * b * (1 - p) - v)
        assert b - a + sum(small) < half < a + b - sum(small)
        worst["caliper"].append(abs(rectangles_within(half, small + [a, b]) - p))
        yield "150", f"exact U {label}{suffix}", shown(half), "um"
        yield "150", f"exact k {label}{suffix}", shown(half / u), "1"


def main():
    worst = {"step": [], "p": [], "conform": [], "caliper": []}
    points = [row for point in BLOCKS for row in point_rows(point, worst)]
    caliper = list(caliper_rows("1.725", "", worst)) + list(caliper_rows("1.7", " with 1.7 um/degC", worst))
    for name, found in worst.items():
        assert max(found) < AGREE, (name, found)
    large = lambda name: nstr(max(worst[name]), 2)
    print("# Outside micrometer 0-25 mm on steel blocks, recomputed by micrometer_hand.py; mark: own.")
    print("# Lengths of the sensitivities and of the drift are nominal; contributions are |c|u; limit +-4 um.")
    print("# GUM U is t of the floor of the effective degrees of freedom times u_c; only the repeatability's are finite (2).")
    print("# Agreement of the two methods: probability within +-U to", large("p"), "and within the limit to", large("conform"))
    print("# and of two step widths of the inversion to", large("step"))
    print("point_mm,quantity,value,unit")
    for row in points:
        print(",".join(row))
    print("# EA-4/02 supplement S10: caliper at 150 mm; rectangles +-0.8, +-2 degC x c, +-25, +-50 um; c 1.725 um/degC,")
    print("# and again with c rounded to 1.7 as printed budgets have it. Closed form and truncated powers agree to", large("caliper"))
    for row in caliper:
        print(",".join(row))


if __name__ == "__main__":
    main()
