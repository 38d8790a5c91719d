#!/usr/bin/env python3
"""Computes exact_oracle.csv: probabilities of sums, with 20 digits, for package uncertainty.

Needs mpmath (Debian: python3-mpmath). Run as: python3 exact_oracle.py > exact_oracle.csv

Three ways that share nothing with the Go code but the definition of the distributions:
  spline   sums of rectangles, in exact rational arithmetic;
  average  nested integrals of a closed distribution function over the other parts, in the domain of x;
  spectrum Gil-Pelaez's integral with mpmath's own Bessel functions and sine integral.
"""
from fractions import Fraction
from itertools import product
from mpmath import mp, mpf, sin, cos, exp, pi, quad, besselj, besselk, gamma, si, sqrt, asin, ncdf, nstr, atan, log, linspace, betainc, sign, asinh, sinh, cosh
import sys

mp.dps = 20

# spec: n sigma | t scale nu | r a | tri a | trap a beta | s a | c a d
def parse(spec):
    return [(w[0],) + tuple(w[1:]) for w in (part.split() for part in spec.split(';'))]

def rects(parts):
    out = []
    for p in parts:
        a = Fraction(p[1])
        if p[0] == 'r': out.append(a)
        elif p[0] == 'tri': out += [a / 2, a / 2]
        elif p[0] == 'trap':
            b = Fraction(p[2]); out += [x for x in (a * (1 + b) / 2, a * (1 - b) / 2) if x]
        else: return None
    return out

def spline(spec, x):
    a = rects(parse(spec)); n = len(a); x = Fraction(x)
    total = Fraction(0); volume = Fraction(1)
    for i, w in enumerate(a): volume *= 2 * w * (i + 1)
    for signs in product((1, -1), repeat=n):
        knot = x + sum(s * w for s, w in zip(signs, a))
        if knot > 0:
            total += (-1) ** signs.count(-1) * knot ** n
    f = total / volume
    return mpf(f.numerator) / f.denominator

def char(parts):
    def sinc(u): return mpf(1) if u == 0 else sin(u) / u
    def phi(t):
        v = mpf(1)
        for p in parts:
            a = mpf(p[1])
            if p[0] == 'n': v *= exp(-(a * t) ** 2 / 2)
            elif p[0] == 'r': v *= sinc(a * t)
            elif p[0] == 'tri': v *= sinc(a * t / 2) ** 2
            elif p[0] == 'trap': b = mpf(p[2]); v *= sinc(a * (1 + b) / 2 * t) * sinc(a * (1 - b) / 2 * t)
            elif p[0] == 's': v *= besselj(0, a * t)
            elif p[0] == 'c': d = mpf(p[2]); v *= (si((a + d) * t) - si((a - d) * t)) / (2 * d * t)
            elif p[0] == 't':
                m = mpf(p[2]) / 2; z = sqrt(mpf(p[2])) * a * t
                v *= z ** m * besselk(m, z) / (2 ** (m - 1) * gamma(m))
        return v
    return phi

def spectrum(spec, x):
    parts = parse(spec); phi = char(parts); x = mpf(x)
    f = lambda t: phi(t) * sin(x * t) / t
    step = pi / (2 * (x + sum(mpf(p[1]) for p in parts)))
    total = quad(f, [0, step])  # tanh-sinh: φ has a kink at 0
    t, calm = step, 0
    while calm < 6:
        part = quad(f, [t, t + 4 * step], method='gauss-legendre', maxdegree=4)
        total += part; t += 4 * step
        calm = calm + 1 if abs(part) < mpf(10) ** -15 and abs(phi(t)) < mpf(10) ** -13 else 0
    return mpf(1) / 2 + total / pi

def tcdf(y, nu):
    z = nu / (nu + y * y); tail = betainc(nu / 2, mpf(1) / 2, 0, z, regularized=True) / 2
    return 1 - tail if y >= 0 else tail

def closed(p):
    a = mpf(p[1])
    if p[0] == 'r': return lambda x: min(mpf(1), max(mpf(0), (x + a) / (2 * a)))
    if p[0] == 's': return lambda x: mpf(0) if x <= -a else mpf(1) if x >= a else mpf(1) / 2 + asin(x / a) / pi
    if p[0] == 'n': return lambda x: ncdf(x / a)
    if p[0] == 't': return lambda x: tcdf(x / a, mpf(p[2]))

def average(spec, x):
    parts = parse(spec)
    f = closed(parts[-1])
    reach = mpf(parts[-1][1]) if parts[-1][0] in 'rs' else mpf(0)
    kinks = [mpf(0)] if parts[-1][0] not in 'rs' else [-reach, reach]
    small = mpf(parts[-1][1])
    for p in reversed(parts[:-1]):
        f = over(p, f, kinks, small)
        a = mpf(p[1]); kinks = sorted(set(k + s * a for k in kinks for s in (-1, 1)))
    return f(mpf(x))

def over(p, f, kinks, small):
    """E f(x - X) for one part X, cut where f has kinks and around them on the scale of the smallest part."""
    a = mpf(p[1])
    def g(x):
        cuts = [k + s * small * w for k in kinks for s in (-1, 1) for w in (0, 1, 10, 1000, 100000)]
        if p[0] == 'r':
            pts = sorted(set([-a, a] + [x - c for c in cuts if -a < x - c < a]))
            return quad(lambda v: f(x - v), pts) / (2 * a)
        angle = lambda v: mp.acos(v / a)
        pts = sorted(set([mpf(0), pi] + [angle(x - c) for c in cuts if -a < x - c < a]))
        return quad(lambda w: f(x - a * cos(w)), pts) / pi
    return g

# name, way, spec, x's
cases = [
    ('four rectangles of standard deviation 1', spline, 'r 1.7320508075688772;r 1.7320508075688772;r 1.7320508075688772;r 1.7320508075688772', '0.5 2 3.879406741334 6'),
    ('caliper of EA-4/02 S10, um', spline, 'r 0.8;r 3.45;r 25;r 50', '10 40 59.3213786746 70'),
    ('rectangles of very different widths', spline, 'r 1;r 0.001;r 0.00001;r 0.00002;tri 0.00005', '0.3 0.9 0.99991 1.0003'),
    ('ten rectangles', spline, 'r 1;r 0.9;r 0.8;r 0.7;r 0.6;r 0.5;r 0.4;r 0.3;r 0.2;r 0.1', '0.5 2 3 4.5'),
    ('triangle and trapezoid', spline, 'tri 1;trap 0.7 0.4', '0.1 0.8 1.3 1.6'),
    ('end gauge of GUM H.1, nm', spectrum, 't 25 18;t 5.813776741499453 24;t 3.8901703 5;t 6.666666666666667 8;r 4.99999;r 28.750358', '20 60 85 130'),
    ('t of 5 and normal', spectrum, 't 1 5;n 1', '0.5 3 7 12'),
    ('t of 2.5 and rectangle', spectrum, 't 1 2.5;r 1', '0.5 2 3.7 10'),
    ('t of 1 and rectangle', spectrum, 't 1 1;r 2', '0.5 3 12.9 60'),
    ('t of 2, t of 3, arcsine', spectrum, 't 1 2;t 0.5 3;s 1', '0.4 2 5 20'),
    ('t of 4, triangle, arcsine, curvilinear', spectrum, 't 0.3 4;tri 1;s 0.7;c 0.8 0.2', '0.3 1 1.6 2.5'),
    ('t of 50 and four arcsines', spectrum, 't 0.4 50;s 1;s 0.9;s 0.5;s 0.2', '0.3 1 2 2.8'),
    ('normal and arcsine', spectrum, 'n 0.3;s 1', '0.3 0.9 1.2 1.8'),
    ('normal, curvilinear, trapezoid', spectrum, 'n 0.2;c 1 0.5;trap 0.5 0.25', '0.3 1 1.5 2'),
    ('ten inputs of every shape', spectrum, 'n 0.5;t 0.4 9;t 0.3 12.7;r 1;r 0.2;tri 0.8;trap 0.6 0.5;s 0.7;c 0.9 0.3;t 0.01 2', '0.5 1.5 2.6 4'),
    ('arcsine and rectangle', average, 's 1;r 0.5', '0.2 0.9 1.3104922336 1.45'),
    ('two equal arcsines', average, 's 1;s 1', '0.01 1 1.8459846333 1.99'),
    ('two arcsines', average, 's 1;s 0.5', '0.2 0.5 1.3912326397 1.49'),
    ('rectangle and tiny t of 1', average, 'r 1;t 0.000001 1', '0.5 0.95 1 1.001'),
    ('arcsine and small normal', average, 's 1;n 0.001', '0.5 0.99 1 1.002'),
    ('two arcsines and small normal', average, 's 1;s 0.6;n 0.01', '0.41 1 1.59 1.61'),
]

print('case,inputs,printed value,tolerance,document,clause,mark')
for name, way, spec, xs in cases:
    for x in xs.split():
        print('"%s","%s at %s",%s,1e-9,this project,exact_oracle.py by %s,own' % (name, spec, x, nstr(way(spec, x), 18, strip_zeros=False), way.__name__))
        sys.stdout.flush()
