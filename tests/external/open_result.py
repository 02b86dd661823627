#!/usr/bin/env python3
"""Opens a result file with h5py and xarray and checks that it explains itself.

Every dimension of every array must have a scale (h5py) and a coordinate (xarray),
every array `units` and `long_name`. Prints what it found; exit status 1 when something is missing.

    open_result.py FILE
"""

import sys

import h5py
import xarray

ROOT_ATTRIBUTES = ["schema", "schema_version", "kind", "program_version", "created_utc"]
ROOT_GROUPS = {
    "run": ["hub", "hub_harmonics", "blade", "blade_harmonics", "disk", "attribution", "summary", "inputs"],
    "sweep": ["hub_harmonics", "blade_harmonics", "attribution", "summary", "warnings", "inputs", "status", "message"],
}


def check_h5py(path):
    """Problems seen through h5py: one line each."""
    problems = []

    def visit(name, item):
        if not isinstance(item, h5py.Dataset):
            return
        for word in ("units", "long_name"):
            if not isinstance(item.attrs.get(word), str) or not item.attrs[word]:
                problems.append(f"/{name}: no {word}")
        for axis, dimension in enumerate(item.dims):
            if not item.is_scale and len(dimension) != 1:
                problems.append(f"/{name}: no scale on axis {axis}")
            elif not item.is_scale and dimension[0].shape[0] != item.shape[axis]:
                problems.append(f"/{name}: scale of another size on axis {axis}")

    with h5py.File(path, "r") as file:
        problems += [f"/: no attribute {name}" for name in ROOT_ATTRIBUTES if name not in file.attrs]
        problems += [f"/: no group {name}" for name in ROOT_GROUPS[file.attrs["kind"]] if name not in file]
        if not isinstance(file["case"][()].decode(), str):
            problems.append("/case: not text")
        file.visititems(visit)
    return problems


def check_xarray(path):
    """Problems seen through xarray, and the number of arrays seen."""
    problems = []
    count = 0
    with xarray.open_datatree(path, engine="h5netcdf") as tree:
        for node in tree.subtree:
            for name, variable in node.variables.items():
                count += 1
                place = f"{node.path.rstrip('/')}/{name}"
                variable.load()
                problems += [f"{place}: no {word} in xarray" for word in ("units", "long_name") if word not in variable.attrs]
                problems += [f"{place}: no coordinate {dim} in xarray" for dim in variable.dims if dim not in node.coords]
    return problems, count


def main():
    """Checks the file named on the command line."""
    path = sys.argv[1]
    in_xarray, count = check_xarray(path)
    problems = check_h5py(path) + in_xarray
    print(f"{path}: {count} arrays")
    for problem in problems:
        print(problem)
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
