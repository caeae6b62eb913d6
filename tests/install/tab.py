"""Types at an interactive bash in a terminal of its own, with TAB. usage: tab.py COMPLETION PROGRAM"""
import os
import pty
import re
import select
import sys
import time

completion, program = sys.argv[1:3]
CASES = [  # typed, then the words that the program is given
    ("thawprint prev\t--det\tdr\t", "preview|--detail|draft|"),
    ("thawprint list --cloth cotton\\ tw\t", "list|--cloth|cotton twill|"),
    ("thawprint list --cloth 'cotton tw\t", "list|--cloth|cotton twill|"),
    ("thawprint check a\tf\t", "check|a folder/four.yaml|"),
    ("thawprint preview --detail=fi\t", "preview|--detail=fine|"),
]

pid, terminal = pty.fork()
if pid == 0:
    os.environ.update(PS1="ready> ", TERM="dumb", INPUTRC="/dev/null", HISTFILE="")
    os.execvp("bash", ["bash", "--norc", "--noprofile", "-i"])


def read_until(mark, seconds=20.0):
    text, end = "", time.time() + seconds
    while mark not in text:
        if time.time() > end or not select.select([terminal], [], [], 0.5)[0] and time.time() > end:
            sys.exit(f"waited for {mark!r}, got {text!r}")
        if select.select([terminal], [], [], 0.1)[0]:
            text += os.read(terminal, 4096).decode(errors="replace")
    return text


def say(text):
    os.write(terminal, text.encode())


say(f"source '{completion}'; bind 'set enable-bracketed-paste off'; thawprint() {{ local IFS='|'; printf '<%s>' \"$*\"; }}; echo be''gun\n")
read_until("begun")
failed = 0
for typed, wanted in CASES:
    say(typed)
    time.sleep(0.5)  # readline takes what is typed ahead of a completion as it comes
    say("END\n")
    got = re.search(r"<([^<>]*)END>", read_until("END>"))
    if not got or got.group(1) != wanted:
        failed += 1
        print(f"{typed!r}: {got and got.group(1)!r}, wanted {wanted!r}")
say("exit\n")
os.waitpid(pid, 0)
sys.exit(failed)
