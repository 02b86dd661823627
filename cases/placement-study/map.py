#!/usr/bin/env python3
"""Draws a map of a placement study: blade-rate (NP) thrust over shaft offset and axial gap, one panel a blade count.

    wakebeat sweep case.toml -o placement-study.h5
    python3 map.py placement-study.h5 map.png

Each cell is one placement; its value is the largest single-sided amplitude over the airspeeds flown. Needs xarray, h5netcdf
and matplotlib. The numbers are estimates for design studies: no turbulence, no structure.
"""

import sys

import matplotlib

matplotlib.use("Agg")  # draws without a screen
import matplotlib.pyplot as plt
import numpy
import xarray

LOAD = "thrust_np_n"


def worst_over_airspeed(path):
    """NP thrust of each placement at its worst airspeed, with coordinates; none where an airspeed has no answer."""
    with xarray.open_datatree(path, engine="h5netcdf") as tree:
        load = tree["summary"][LOAD].load()
    return load.max("airspeed_m_s", skipna=False, keep_attrs=True)


def label(axis):
    """The axis' key in words, with its unit from the file: `shaft_offset_m` is shaft offset, m."""
    unit = axis.attrs["units"]
    return f"{axis.name.removesuffix('_' + unit).replace('_', ' ')}, {unit}"


def draw(load, picture):
    """One panel a blade count, all on one scale; the least of all is marked."""
    counts = load.blade_count.values
    figure, panels = plt.subplots(
        1, len(counts), sharex=True, sharey=True, squeeze=False, layout="constrained", figsize=(3.2 * len(counts) + 1.2, 4.2)
    )
    gaps, offsets = load.axial_gap_m, load.shaft_offset_m
    least = load.argmin(...)
    for number, (panel, count) in enumerate(zip(panels[0], counts)):
        values = load.sel(blade_count=count).transpose("shaft_offset_m", "axial_gap_m")
        # Cells of equal width, since the gaps are unevenly spaced; the ticks tell their values.
        image = panel.imshow(
            values, origin="lower", aspect="auto", cmap="viridis", vmin=0.0, vmax=float(load.max()), interpolation="nearest"
        )
        panel.set_title(f"{int(count)} blades")
        panel.set_xticks(range(gaps.size), [f"{gap:g}" for gap in gaps.values])
        panel.set_yticks(range(offsets.size), [f"{round(offset, 6):g}" for offset in offsets.values])
        if number == int(least["blade_count"]):
            panel.plot(int(least["axial_gap_m"]), int(least["shaft_offset_m"]), "o", color="white", markeredgecolor="black")
    figure.supxlabel(label(gaps))
    figure.supylabel(label(offsets))
    figure.colorbar(image, ax=panels[0], label=f"NP thrust at the worst airspeed, {load.attrs['units']}")
    figure.suptitle("Blade-rate thrust by placement (circle: least; estimates, no limits applied)")
    figure.savefig(picture, dpi=120)


def main():
    """Draws the file named first to the picture named second, and tells the least value."""
    path, picture = sys.argv[1:3]
    load = worst_over_airspeed(path)
    if not numpy.isfinite(load).any():
        sys.exit(f"{path}: no placement has an answer at every airspeed")
    draw(load, picture)
    best = load[load.argmin(...)]
    print(
        f"least: {float(best):.4f} N with {int(best.blade_count)} blades, "
        f"shaft offset {float(best.shaft_offset_m):g} m, axial gap {float(best.axial_gap_m):g} m"
    )


if __name__ == "__main__":
    main()
