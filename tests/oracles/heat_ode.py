"""The equations of a stack on given cells as a plain ODE, apart from the kernel, for SciPy's stiff integrator."""

from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix

GAS = 8.314462618


@dataclass
class HeatOde:
    """One stack: cells with k, rho c, thickness, start; one reacting layer from cell `first` to before `end`."""

    size: np.ndarray
    conduct: np.ndarray
    hold: np.ndarray
    start: np.ndarray
    first: int
    end: int
    tau: float
    shape: float
    energy: float
    heat: float
    times: np.ndarray
    air: np.ndarray
    film: np.ndarray
    flux: np.ndarray

    def __post_init__(self):
        half = 2 * self.conduct / self.size
        self.half = half
        self.link = half[1:] * half[:-1] / (half[1:] + half[:-1])
        self.n = self.size.size

    def rate(self, temp):
        return np.exp(self.energy / GAS * (1 / 293.15 - 1 / (temp + 273.15)))

    def faces(self, t, temp):
        def between(i):
            a, b = self.half[i - 1], self.half[i]
            return (a * temp[i - 1] + b * temp[i]) / (a + b)

        if self.first > 0:
            top = between(self.first)
        else:
            air, film, flux = self.outside(t)
            top = (self.half[0] * temp[0] + film * air + flux) / (self.half[0] + film)
        return top, between(self.end)

    def outside(self, t):
        return tuple(np.interp(t, self.times, v) for v in (self.air, self.film, self.flux))

    def slopes(self, t, y):
        temp, age = y[: self.n], y[self.n :]
        flow = np.zeros(self.n + 1)
        flow[1:-1] = self.link * (temp[:-1] - temp[1:])
        air, film, flux = self.outside(t)
        flow[0] = self.half[0] / (self.half[0] + film) * (film * (air - temp[0]) + flux)
        out = (flow[:-1] - flow[1:]) / self.size
        own = slice(self.first, self.end)
        rate = self.rate(temp[own])
        cells = np.maximum(age[:-2], 1e-12)
        power = (self.tau / cells) ** self.shape
        out[own] += self.heat * np.exp(-power) * power * self.shape / cells * rate
        top, bottom = self.faces(t, temp)
        return np.concatenate([out / self.hold, rate, [self.rate(top), self.rate(bottom)]])

    def pattern(self):
        count = self.n + self.end - self.first + 2
        rows = [(i, j) for i in range(self.n) for j in (i - 1, i, i + 1) if 0 <= j < self.n]
        for i in range(self.first, self.end):
            age = self.n + i - self.first
            rows += [(i, age), (age, i)]
        for at, cell in ((count - 2, self.first), (count - 1, self.end)):
            rows += [(at, cell)] + ([(at, cell - 1)] if cell > 0 else [])
        r, c = np.array(rows).T
        return csc_matrix((np.ones(r.size), (r, c)), shape=(count, count))

    def to_age(self, age, rtol, most_s=2e5, **more):
        """Seconds until all ages are there, and the solution."""

        def least(t, y):
            return y[self.n :].min() - age

        least.terminal = True
        y0 = np.concatenate([self.start, np.zeros(self.end - self.first + 2)])
        found = solve_ivp(
            self.slopes, (0, most_s), y0, method="BDF", rtol=rtol, atol=rtol, events=least,
            jac_sparsity=self.pattern(), **more,
        )  # fmt: skip
        return float(found.t_events[0][0]), found
