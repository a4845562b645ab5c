"""The scripts of the page go to it as one module."""

import re

from widgets.stage import HERE, Stage, module

TOP = re.compile(r"^(?:export )?(?:const|let|function|class) (\w+)", re.MULTILINE)


def test_a_script_follows_those_that_it_imports_each_of_them_once():
    whole = module("stage.js")
    imported = re.findall(r'from "\./(\w+\.js)"', (HERE / "stage.js").read_text())

    assert len(imported) > 2
    assert Stage._esm == whole
    assert not re.search(r"^import ", whole, re.MULTILINE)
    for name in imported:
        assert whole.count((HERE / name).read_text().splitlines()[0]) == 1
    assert whole.count("export default") == 1
    assert whole.rstrip().endswith("export default { render };")


def test_no_two_scripts_use_one_name_at_their_top():
    names = TOP.findall(module("stage.js"))

    assert len(names) > 10
    assert sorted(names) == sorted(set(names))
