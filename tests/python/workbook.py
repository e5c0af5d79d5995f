#!/usr/bin/env python3
"""Compares the workbook of a day with its CSV tables, value by value.

    workbook.py DAY.zip DAY.xlsx

The workbook is opened with openpyxl twice: as it is, and as LibreOffice read and wrote it again.
Exits with 1 on any difference.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

from openpyxl import load_workbook

from day_record import read_tables


def cells(path):
    """Every sheet as rows of texts; numbers as they are written in CSV, nothing as an empty text."""
    book = load_workbook(path, read_only=True)
    return {sheet.title: [list(map(text, row)) for row in sheet.iter_rows(values_only=True)]
            for sheet in book}


def text(value):
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def differences(archive, workbook):
    _, _, tables, page = read_tables(archive)
    sheets = cells(workbook)
    if [row[0] for row in sheets.pop("README")] != page.splitlines():
        yield "README differs"
    if set(sheets) != set(tables):
        yield f"there are sheets {sorted(sheets)}, but tables {sorted(tables)}"
    for name in sorted(set(sheets) & set(tables)):
        wide = len(tables[name][0])
        found = [row + [""] * (wide - len(row)) for row in sheets[name]]
        if len(found) != len(tables[name]):
            yield f"{name}: {len(found)} rows, but {len(tables[name])} in the table"
        for number, (row, right) in enumerate(zip(found, tables[name])):
            for column, cell, value in zip(tables[name][0], row, right):
                if cell != value:
                    yield f"{name}, row {number}, {column}: {cell!r}, but {value!r} in the table"


def through_libreoffice(workbook, folder):
    """The workbook as LibreOffice reads and writes it again."""
    command = ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless",
               "--convert-to", "xlsx", "--outdir", f"{folder}/out", workbook]
    subprocess.run(command, check=True, capture_output=True, timeout=240)
    return Path(folder, "out", Path(workbook).name)


def main(arguments):
    archive, workbook = arguments
    found = list(differences(archive, workbook))
    with tempfile.TemporaryDirectory() as folder:
        again = through_libreoffice(workbook, folder)
        found += [f"through LibreOffice: {one}" for one in differences(archive, again)]
    for difference in found[:20]:
        print(difference)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
