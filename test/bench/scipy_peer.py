#!/usr/bin/env python3
"""The scipy side of the benchmark: the same arithmetic on the same data, as well arranged as we know how.

Started with its settings as JSON; prints one line when ready, then does the job named on each line of its input and
prints milliseconds, memory and a few values of the result. Constants are worked out before the clock starts.
"""
import json
import resource
import sys
import time

import numpy as np
import scipy
from scipy import fft, optimize


class Impulses:
    """Impulse responses to levels and phase on a logarithmic grid, then all curves of ANSI/CTA-2034-A."""

    def __init__(self, settings):
        self.rate = settings["sampleRateHz"]
        self.length = settings["length"]
        self.rows = settings["rowsAtATime"]
        self.data = np.fromfile(settings["file"], dtype=np.float32).reshape(-1, self.length)
        self.full_scale = settings["fullScaleDb"]
        self.window_samples = settings["windowSamples"]
        self.fade_in, self.fade_out = settings["fadeInSamples"], settings["fadeOutSamples"]
        self.before = settings["beforeSamples"]
        self.grid = np.array(settings["gridHz"])
        self.keep = np.array(settings["coarse"])
        half = np.sqrt(self.grid[1] / self.grid[0])
        edges = np.append(self.grid[0] / half, self.grid * half) * self.length / self.rate
        self.at = np.floor(edges).astype(int)
        self.share = (edges - self.at).astype(np.float32)
        self.width = np.diff(edges)
        centre = self.grid * self.length / self.rate
        self.centre = np.floor(centre).astype(int)
        self.centre_share = (centre - self.centre).astype(np.float32)
        rise = lambda n: np.sin(0.5 * np.pi * (np.arange(n) + 0.5) / n) ** 2
        self.window = np.ones(self.window_samples, np.float32)
        self.window[: self.fade_in] = rise(self.fade_in)
        self.window[-self.fade_out :] = rise(self.fade_out)[::-1]
        bins = self.length // 2 + 1
        self.buffers = [np.zeros((self.rows, n), np.float32) for n in (self.length, bins, bins)]
        self.members(settings["angles"])

    def members(self, angles):
        """Rows of each average, and each row's share of the sphere."""
        row = {(orbit, angle): i for i, (orbit, angle) in reversed(list(enumerate(map(tuple, angles))))}
        h = lambda *list_of: [row["horizontal", a] for a in list_of]
        v = lambda *list_of: [row["vertical", a] for a in list_of]
        both = lambda *list_of: [a * s for a in list_of for s in (1, -1)]
        self.on_axis = row["horizontal", 0]
        self.listening = h(0, *both(10, 20, 30)) + v(*both(10))
        self.bounces = [
            v(-20, -30, -40),
            v(40, 50, 60),
            h(0, *both(10, 20, 30)),
            h(*both(40, 50, 60, 70, 80)),
            h(*both(*range(90, 171, 10)), 180),
        ]
        self.weights = np.zeros(len(angles))
        edge = lambda t: np.arcsin(np.cos(np.radians(np.clip(t, 0, 180))) / np.sqrt(2))
        for (orbit, angle), i in row.items():
            t = abs(angle)
            share = (edge(t - 5) - edge(t + 5)) / (2 * np.pi)
            on_axis = t in (0, 180)
            if not on_axis or orbit == "horizontal":
                self.weights[i] = share * (4 if on_axis else 1)

    def levels(self, rows):
        """dB and degrees on the grid of a few rows at once."""
        blocks = rows[:, : self.length // 48 * 48].reshape(len(rows), -1, 48)
        energies = np.einsum("ijk,ijk->ij", blocks, blocks)
        quietest = energies[:, : energies.shape[1] // 16 * 16].reshape(len(rows), 16, -1).mean(axis=2).min(axis=1)
        windowed, power, other = self.buffers
        before = np.empty(len(rows), int)
        for i, row in enumerate(rows):
            loudest = int(energies[i].argmax()) * 48
            near = np.abs(row[max(0, loudest - 48) : loudest + 96])
            peak = max(0, loudest - 48) + int(near.argmax())
            ahead = np.abs(row[max(0, peak - 96) : peak + 1])
            arrival = max(0, peak - 96) + int((ahead >= 0.1 * ahead[-1]).argmax())
            start = max(0, arrival - self.before)
            before[i] = arrival - start
            part = row[start : start + self.window_samples]
            np.multiply(part, self.window[: len(part)], out=windowed[i, : len(part)])
            windowed[i, len(part) :] = 0
        spectrum = fft.rfft(windowed, axis=1)
        np.square(spectrum.real, out=power)
        np.add(power, np.square(spectrum.imag, out=other), out=power)
        begin, end = self.at[:-1], self.at[1:]
        whole = np.where(begin == end, np.float32(0), np.add.reduceat(power, self.at, axis=1)[:, :-1])
        area = whole + 0.5 * (power[:, end] - power[:, begin])
        low, high = power[:, self.at], power[:, self.at + 1]
        partial = self.share * (low + 0.5 * self.share * (high - low))
        mean = (area + partial[:, 1:] - partial[:, :-1]) / self.width
        level = 10 * np.log10(mean) + self.full_scale
        radians = (2 * np.pi * before / self.length)[:, None]
        here, following = spectrum[:, self.centre], spectrum[:, self.centre + 1] * np.exp(1j * radians)
        between = here + self.centre_share * (following - here)
        turns = (np.arctan2(between.imag, between.real) + radians * self.centre) / (2 * np.pi)
        return level, 360 * (turns - np.rint(turns)), quietest

    def __call__(self):
        parts = [self.levels(self.data[i : i + self.rows]) for i in range(0, len(self.data), self.rows)]
        level = np.concatenate([part[0] for part in parts])
        pressure = 10 ** (level[:, self.keep] / 10)
        listening = pressure[self.listening].mean(axis=0)
        bounces = np.array([pressure[group].mean(axis=0) for group in self.bounces])
        reflections = bounces.mean(axis=0)
        power = self.weights @ pressure
        room = 0.12 * listening + 0.44 * reflections + 0.44 * power
        curves = 10 * np.log10(np.vstack([pressure[self.on_axis], listening, reflections, power, room, bounces]))
        indices = curves[1] - curves[2], curves[1] - curves[3]
        return [*curves[:5, ::40].ravel(), *indices[0][::40], *indices[1][::40]]


class Sweep:
    """A recorded sweep to its linear and harmonic responses, by multiplication with spectra made beforehand."""

    def __init__(self, settings):
        read = lambda name, kind: np.fromfile(settings[name], dtype=kind)
        self.recording = read("recording", np.float32)
        self.size = len(self.recording)
        self.kernel, self.edges = read("kernel", np.complex64), read("edges", np.complex64)
        self.rate = settings["sampleRateHz"]
        self.orders = settings["orders"]
        self.part = settings["partSamples"]
        self.cells = []
        for order in self.orders:
            edges = np.array(order["edgesHz"]) * self.part / self.rate
            at = np.floor(edges).astype(int)
            self.cells.append((at, (edges - at).astype(np.float32), np.diff(edges)))
        self.fades = [self.fade(order) for order in self.orders]

    @staticmethod
    def fade(order):
        window = np.ones(order["before"] + order["after"], np.float32)
        rise = lambda n: np.sin(0.5 * np.pi * (np.arange(n) + 0.5) / n) ** 2
        window[: order["fadeIn"]] = rise(order["fadeIn"])
        window[-order["fadeOut"] :] = rise(order["fadeOut"])[::-1]
        return window

    def segment(self, response, centre, index):
        order = self.orders[index]
        start = centre - order["lead"] - order["before"]
        length = order["before"] + order["after"]
        if 0 <= start and start + length <= self.size:
            return response[start : start + length] * self.fades[index]
        return np.take(response, np.arange(start, start + length), mode="wrap") * self.fades[index]

    def power(self, segment, index):
        at, share, width = self.cells[index]
        spectrum = fft.rfft(segment, self.part)
        power = np.square(spectrum.real) + np.square(spectrum.imag)
        begin, end = at[:-1], at[1:]
        whole = np.where(begin == end, np.float32(0), np.add.reduceat(power, at)[:-1])
        low, high = power[at], power[at + 1]
        partial = share * (low + 0.5 * share * (high - low))
        return (whole + 0.5 * (power[end] - power[begin]) + partial[1:] - partial[:-1]) / width

    def __call__(self):
        response = fft.irfft(fft.rfft(self.recording) * self.kernel, self.size)
        arrival = int(np.abs(response).argmax())
        linear = self.segment(response, arrival, 0)
        explained = fft.irfft(fft.rfft(linear, self.size) * self.edges, self.size)
        start = arrival - self.orders[0]["before"]
        powers = [self.power(linear, 0)]
        for i in range(1, len(self.orders)):
            rest = self.segment(response, arrival, i) - self.segment(explained, arrival - start, i)
            powers.append(self.power(rest, i))
        percent = [100 * np.sqrt(power / powers[0][: len(power)]) for power in powers[1:]]
        return [*(10 * np.log10(powers[0][::40])), *(20 * np.log10(percent[0][::40]))]


class Equaliser:
    """Six peaking filters fitted to a curve by MINPACK's Levenberg-Marquardt with exact derivatives."""

    def __init__(self, settings):
        w = 2 * np.pi * np.array(settings["gridHz"]) / settings["sampleRateHz"]
        self.rate = settings["sampleRateHz"]
        self.cosines, self.sines = np.cos(w), np.sin(w) ** 2
        self.target, self.start = np.array(settings["targetDb"]), np.array(settings["start"])

    def parts(self, x):
        frequency, gain, q = x.reshape(-1, 3).T[:, :, None]
        w0 = 2 * np.pi * np.exp(frequency) / self.rate
        amplitude = 10 ** (gain / 40)
        alpha = np.sin(w0) / (2 * np.exp(q))
        distance = self.cosines - np.cos(w0)
        up, down = (alpha * amplitude) ** 2 * self.sines, (alpha / amplitude) ** 2 * self.sines
        square = distance**2
        return w0, distance, up, down, square + up, square + down

    def residual(self, x):
        *_, above, below = self.parts(x)
        return 10 * np.log10(above / below).sum(axis=0) - self.target

    def jacobian(self, x):
        w0, distance, up, down, above, below = self.parts(x)
        scale = 10 / np.log(10)
        up_share, down_share = 2 * up / above, 2 * down / below
        by_alpha = up_share - down_share
        by_distance = 2 * distance * np.sin(w0) * w0 * (1 / above - 1 / below)
        columns = np.empty((len(w0), 3, len(self.target)))
        columns[:, 0] = scale * (by_distance + by_alpha * w0 / np.tan(w0))
        columns[:, 1] = 0.25 * (up_share + down_share)
        columns[:, 2] = -scale * by_alpha
        return columns.reshape(-1, len(self.target)).T

    def __call__(self):
        fit = optimize.least_squares(self.residual, self.start, self.jacobian, method="lm", ftol=1e-9)
        return self.residual(fit.x) + self.target


JOBS = {"impulses": Impulses, "sweep": Sweep, "equaliser": Equaliser}


def main():
    settings = json.loads(sys.argv[1])
    job = JOBS[settings["job"]](settings)
    print(json.dumps({"version": scipy.__version__}), flush=True)
    for line in sys.stdin:
        if not line.strip():
            continue
        start = time.perf_counter()
        result = job()
        milliseconds = 1000 * (time.perf_counter() - start)
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        answer = {"milliseconds": milliseconds, "rssMb": memory, "check": [float(value) for value in result]}
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    main()
