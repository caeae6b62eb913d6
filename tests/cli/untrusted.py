"""Titles, names and file names from strangers end up inert: in file names, pictures, JSON, YAML and on the terminal.
usage: untrusted.py PROGRAM"""
import json
import os
import re
import struct
import subprocess
import sys
import tempfile
import zlib

PROGRAM = os.path.abspath(sys.argv[1])
SCENARIO = """title: {}
cloth: {{ kind: cotton twill, width: 12 cm, length: 10 cm }}
ice:
  - {{ kind: cubes, mass: 100 g }}
dye:
  - {{ colour: turquoise, mass: 200 mg }}
leave: 1 h
detail: draft
"""
INERT = [  # kept to the byte, and shown as it stands
    "<script>alert(1)</script><img src=x onerror=alert(2)> &amp; ]]> <!--",
    "%s%n%d %999999d $(touch hacked) `touch hacked`; touch hacked | \"x\" 'y' \\ \\n",
    "../../../hacked ~/hacked /etc/passwd C:\\hacked",
    "m\u00f6we \u6d77 \u05d0\u05d1 \U0001f30a # - {a: b} *x &y !!python/object:os.system",
]
REFUSED = ["\x1b[31mred", "a\x07", "a\x7fb", "\u009b31m", "a\u202eb", "a\u2066b", "a\u2028b", "a\u0085b", "a\nb", "a\tb",
           "a\x00b"]
NAMES = ["$(touch hacked).yaml", "..yaml", "...yaml", "a;touch hacked;.yaml", "-rf.yaml", "\x1b[31m.yaml", "%s%n.yaml",
         "a\u202eb.yaml", "<b>.yaml", "x\\..\\..\\hacked.yaml", "hidden/.yaml", "CON.yaml"]
failed = 0


def check(fine, what):
    global failed
    if not fine:
        failed += 1
        print("FAILED:", what)


def run(*words, expected=0):
    done = subprocess.run([PROGRAM, *words], capture_output=True, env={**os.environ, "OMP_WAIT_POLICY": "passive"})
    out, err = done.stdout.decode(), done.stderr.decode()
    check(done.returncode == expected, f"{words}: exit {done.returncode}: {err}")
    steering = re.findall("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]", out + err)
    check(not steering, f"{words}: the terminal is sent {steering}")
    return out, err


def png_texts(path):
    """Texts of a PNG by their keys."""
    data, at, texts = open(path, "rb").read(), 8, {}
    while at < len(data):
        n, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + n]
        if kind == b"tEXt":
            key, text = body.split(b"\0", 1)
            texts[key.decode()] = text.decode("latin-1")
        elif kind == b"iTXt":
            key, rest = body.split(b"\0", 1)
            text = rest[2:].split(b"\0", 2)[2]
            texts[key.decode()] = (zlib.decompress(text) if rest[0] else text).decode()
        at += n + 12
    return texts


def write(path, text):
    if os.path.dirname(path):
        os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)


def files_below(folder):
    return sorted(os.path.relpath(os.path.join(at, name), folder) for at, _, names in os.walk(folder) for name in names)


def titles_are_kept_and_inert():
    for i, title in enumerate(INERT):
        path = f"t{i}.yaml"
        write(path, SCENARIO.format(json.dumps(title, ensure_ascii=False)))
        out, _ = run("preview", "--without-ranges", path)
        check(out.count(title) == 1, f"the screen shows {title!r}")
        folder = f"out/t{i}"
        check(json.load(open(f"{folder}/figures.json"))["title"] == title, f"figures.json has {title!r}")
        for picture in ("cloth-dry.png", "cloth-wet.png", "bundle.png", "fold-map.png"):
            check(png_texts(f"{folder}/{picture}")["Title"] == title, f"{picture} has {title!r}")
        run("preview", "--without-ranges", "-q", "-o", f"again/t{i}", f"{folder}/scenario.yaml")
        check(files_below(folder) == files_below(f"again/t{i}") and
              all(open(f"{folder}/{f}", "rb").read() == open(f"again/t{i}/{f}", "rb").read() for f in files_below(folder)),
              f"the resolved scenario gives the same bytes with {title!r}")
        run("check", path)


def titles_that_steer_are_refused():
    for title in REFUSED:
        write("refused.yaml", SCENARIO.format(json.dumps(title)))
        _, err = run("check", "refused.yaml", expected=3)
        check("refused.yaml:1:8: title: must be one line of plain text" in err, f"{title!r} is refused: {err}")


def names_of_files_do_not_leave_the_folder():
    for name in NAMES:
        write(name, SCENARIO.format("plain").replace("cotton twill", "no such cloth"))
        run("check", "./" + name, expected=3)
        write(name, SCENARIO.format("plain"))
        run("check", "./" + name)
        out, _ = run("preview", "--without-ranges", "-q", "./" + name)
        check(re.fullmatch(r"out/[A-Za-z0-9_][A-Za-z0-9_.-]*\n", out), f"{name!r} goes to {out!r}")
        run("check", "./no-such-" + name.replace("/", ""), expected=3)


def compared_titles_are_inert():
    out, _ = run("compare", "--chances", "2", "-o", "compared", *[f"t{i}.yaml" for i in range(len(INERT))])
    text = open("compared/compare.json", encoding="utf-8").read()
    def strings(value):
        if isinstance(value, str):
            return [value]
        parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else []
        return [s for part in parts for s in strings(part)]
    found = strings(json.loads(text))
    for title in INERT:
        check(title in found, f"compare.json has {title!r}")
    check(b"/JavaScript" not in open("compared/compare.pdf", "rb").read(), "a script in the PDF")


def own_names_are_words():
    for name in ("<b>", "%s%n", "x\x1b[31m", "a\u009b31m", "../x", "$(touch hacked)"):
        write("own.yaml", "own-cloths:\n  - { name: %s, like: cotton twill, mass: 200 g/m2 }\n" % json.dumps(name))
        run("list", "--cloths", "own.yaml", "cloths", expected=3)


with tempfile.TemporaryDirectory() as work:
    os.makedirs(work + "/a/b/cell")
    os.chdir(work + "/a/b/cell")
    for part in (titles_are_kept_and_inert, titles_that_steer_are_refused, names_of_files_do_not_leave_the_folder,
                 compared_titles_are_inert, own_names_are_words):
        before = failed
        part()
        print("ok     " if failed == before else "FAILED ", part.__name__)
    check("hacked" not in map(os.path.basename, files_below(work)), "a command in a title was run")
    check(os.listdir(work) == ["a"] and os.listdir(work + "/a/b") == ["cell"], "a file outside the folder")
sys.exit(1 if failed else 0)
