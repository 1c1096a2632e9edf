"""Units listed from their own files, before all rules are read."""

from pathlib import Path

from diag.rulebook import unit_titles


def _written(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def test_the_listing_names_each_unit_with_its_title(tmp_path: Path) -> None:
    """Every unit file is listed in the order of reading; one without a title has none."""
    shop = _written(
        tmp_path / "shop",
        {"units/b.yaml": "unit: 'LAMP-02'\n", "units/a.yaml": "unit: LAMP-01\ntitle: A lamp\n"},
    )
    own = _written(tmp_path / "own", {"LAMP-03.yaml": "# ours\nunit: LAMP-03\ntitle: One more\n"})
    expected = {"LAMP-01": "A lamp", "LAMP-02": "", "LAMP-03": "One more"}
    assert expected == unit_titles([shop, own])
    assert list(expected) == list(unit_titles([shop, own]))


def test_what_is_no_unit_file_is_not_listed(tmp_path: Path) -> None:
    """Causes, cases, broken files and units that are lists are left out."""
    shop = _written(
        tmp_path,
        {
            "cause.yaml": "cause: bulb blown\n",
            "cases/case.yaml": "cases:\n  one:\n    unit: LAMP-01\n",
            "broken.yaml": "unit: [\n",
            "listed.yaml": "unit: [LAMP-04]\n",
            "not-read.yml": "lamp: LAMP-05\n",
        },
    )
    assert {} == unit_titles([shop])
