"""Intervals, tests and degrees of freedom of crossed studies, worked out apart from the program: sums of squares in
fractions, quantiles of chi-squared and F by mpmath's incomplete gamma and beta functions. Run once, on Debian's
python3-mpmath; the tests read crossed_oracle.csv alone.

    python3 testdata/published/crossed_oracle.py > testdata/published/crossed_oracle.csv
"""
from fractions import Fraction
from math import prod
from mpmath import mp, mpf, betainc, findroot, gammainc, sqrt

mp.dps = 30

HOUF = """37 38 37|41 41 40|41 42 41;42 41 43|42 42 42|43 42 43;30 31 31|31 31 31|29 30 28;42 43 42|43 43 43|42 42 42;28 30 29|29 30 29|31 29 29;
42 42 43|45 45 45|44 46 45;25 26 27|28 28 30|29 27 27;40 40 40|43 42 42|43 43 41;25 25 25|27 29 28|26 26 26;35 34 34|35 35 34|35 34 35"""
SMALL = "10 12|11 13|15 14;20 19|23 22|20 18"  # 2 parts, 3 operators, 2 repeats
CROSS = "1 9|2 8;0 10|3 7;4 6|5 4"  # components below zero


def table(text):
    return [[[Fraction(x) for x in cell.split()] for cell in row.split("|")] for row in text.replace("\n", "").split(";")]


def mean(v):
    return sum(v) / len(v)


def squares(d):
    """Mean squares by the totals' formula, exact: part, operator, interaction, within, with degrees of freedom."""
    a, b, n = len(d), len(d[0]), len(d[0][0])
    every = [x for r in d for c in r for x in c]
    t = sum(every) ** 2 / Fraction(a * b * n)
    sa = sum(sum(sum(c) for c in r) ** 2 for r in d) / Fraction(b * n) - t
    sb = sum(sum(sum(d[i][j]) for i in range(a)) ** 2 for j in range(b)) / Fraction(a * n) - t
    cells = sum(sum(c) ** 2 for r in d for c in r) / Fraction(n) - t
    total = sum(x * x for x in every) - t
    lines = [(sa, a - 1), (sb, b - 1), (cells - sa - sb, (a - 1) * (b - 1)), (total - cells, a * b * (n - 1))]
    return lines, a, b, n


def quantile(cdf, p):
    lo, hi = mpf(0), mpf(1)
    while cdf(hi) < p:
        hi *= 2
    for _ in range(140):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if cdf(mid) < p else (lo, mid)
    return (lo + hi) / 2


memo = {}


def chi(p, n):
    if (p, n) not in memo:
        memo[p, n] = quantile(lambda x: gammainc(mpf(n) / 2, 0, x / 2, regularized=True), p)
    return memo[p, n]


def cdf_f(x, m, n):
    return betainc(mpf(m) / 2, mpf(n) / 2, 0, m * x / (m * x + n), regularized=True)


def f(p, m, n):
    if (p, m, n) not in memo:
        memo[p, m, n] = quantile(lambda x: cdf_f(x, m, n), p)
    return memo[p, m, n]


def interval(terms, p=mpf("0.95")):
    """terms: (coefficient, mean square, dof)."""
    terms = [t for t in terms if t[0] != 0]
    q = (1 - p) / 2
    up = 1 - q
    G = lambda n: 1 - n / chi(up, n)
    H = lambda n: n / chi(q, n) - 1
    plus = [(c * s, n) for c, s, n in terms if c > 0]
    minus = [(-c * s, n) for c, s, n in terms if c < 0]
    est = sum(x for x, _ in plus) - sum(x for x, _ in minus)

    def star(group, i, j):
        (_, ni), (_, nj) = group[i], group[j]
        n = ni + nj
        return (G(n) ** 2 * mpf(n) ** 2 / (ni * nj) - G(ni) ** 2 * ni / nj - G(nj) ** 2 * nj / ni) / (len(group) - 1)

    def pairs(group):
        return sum(star(group, i, j) * group[i][0] * group[j][0] for i in range(len(group)) for j in range(i + 1, len(group)))

    low = sum((G(n) * x) ** 2 for x, n in plus) + sum((H(n) * x) ** 2 for x, n in minus)
    high = sum((H(n) * x) ** 2 for x, n in plus) + sum((G(n) * x) ** 2 for x, n in minus)
    for x, nq in plus:
        for y, nr in minus:
            k = f(up, nq, nr)
            low += ((k - 1) ** 2 - G(nq) ** 2 * k**2 - H(nr) ** 2) / k * x * y
            k = f(q, nq, nr)
            high += ((1 - k) ** 2 - H(nq) ** 2 * k**2 - G(nr) ** 2) / k * x * y
    if minus:
        low += pairs(plus)
    if plus:
        high += pairs(minus)
    dof = est**2 / sum(mpf(c * s) ** 2 / n for c, s, n in terms) if est > 0 else mpf(0)
    return est, max(mpf(0), est - sqrt(max(mpf(0), low))), max(mpf(0), est + sqrt(max(mpf(0), high))), dof


def row(case, inputs, value):
    print(f"{case},{inputs},{mp.nstr(mpf(value), 15)},1e-7,mpmath; arithmetic apart from the program,,own")


def report(name, text):
    lines, a, b, n = squares(table(text))
    (A, B, AB, E) = [(mpf(s.numerator) / s.denominator / d, d) for s, d in lines]
    for label, x, y in [("parts", A, AB), ("operators", B, AB), ("interaction", AB, E)]:
        row("F", f"{name} {label}", x[0] / y[0])
        row("p", f"{name} {label}", 1 - cdf_f(x[0] / y[0], x[1], y[1]))
    i = mpf(1)
    combos = {
        "parts": [(i / (n * b), *A), (-i / (n * b), *AB)],
        "operators": [(i / (n * a), *B), (-i / (n * a), *AB)],
        "interaction": [(i / n, *AB), (-i / n, *E)],
        "repeatability": [(i, *E)],
        "reproducibility": [(i / (n * a), *B), (i / n - i / (n * a), *AB), (-i / n, *E)],
        "measurement": [(i / (n * a), *B), (i / n - i / (n * a), *AB), (1 - i / n, *E)],
        "total": [(i / (n * b), *A), (i / (n * a), *B), (mpf(a * b - a - b) / (a * b * n), *AB), (1 - i / n, *E)],
    }
    pooled = ((lines[2][0] + lines[3][0]), lines[2][1] + lines[3][1])
    P = (mpf(pooled[0].numerator) / pooled[0].denominator / pooled[1], pooled[1])
    combos |= {
        "pooled parts": [(i / (n * b), *A), (-i / (n * b), *P)],
        "pooled operators": [(i / (n * a), *B), (-i / (n * a), *P)],
        "pooled repeatability": [(i, *P)],
        "pooled measurement": [(i / (n * a), *B), (1 - i / (n * a), *P)],
        "pooled total": [(i / (n * b), *A), (i / (n * a), *B), (1 - i / (n * a) - i / (n * b), *P)],
    }
    for label, terms in combos.items():
        est, low, high, dof = interval(terms)
        for what, v in [("estimate", est), ("low", low), ("high", high), ("dof", dof)]:
            row(what, f"{name} {label}", v)


print("case,inputs,printed value,tolerance,document,clause,mark")
report("houf", HOUF)
report("small", SMALL)
report("cross", CROSS)
for p, n in [(2, 3), (3, 3), (5, 3), (10, 3), (10, 2)]:
    # Cochran's criterion at 1 %: bound by the largest of p groups of n
    k = f(1 - mpf("0.01") / p, n - 1, (p - 1) * (n - 1))
    row("cochran", f"{p} {n}", 1 / (1 + (p - 1) / k))
