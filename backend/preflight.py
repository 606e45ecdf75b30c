"""Looks before `make run` leaps, and turns what goes wrong into one plain sentence.

    python3 backend/preflight.py python              the interpreter will do, and the disk has room
    python3 backend/preflight.py start               port, data folder and disk are ready for the server
    python3 backend/preflight.py do WHAT -- COMMAND  run COMMAND; if it fails, say why in one sentence

Standard library only, and written so that a Python too old for Staveward can still read it and say so.
"""

import errno
import os
import shutil
import socket
import subprocess
import sys

OLDEST = (3, 11)
INSTALL_MB = 2500
RUN_MB = 200
TAIL_LINES = 12

# What the output of a failed step holds, and the sentence that says it plainly.
CAUSES = (
    (("No space left on device", "ENOSPC"), "The disk is full: free some space and start again."),
    (
        (
            "error: command 'gcc' failed",
            "command 'cc' failed",
            "unable to execute 'gcc'",
            "No such file or directory: 'gcc'",
            "No such file or directory: 'cc'",
            "Unknown compiler",
            "Microsoft Visual C++",
        ),
        "A package has no ready-made build for this machine and a C compiler is missing: "
        "install one (on Debian: apt-get install build-essential python3-dev), or use Python 3.11.",
    ),
    (
        ("DO NOT MATCH THE HASHES", "EINTEGRITY"),
        "A package that came is not the one that was locked: do not go on; try another network.",
    ),
    (
        ("connection to server", "psycopg.OperationalError"),
        "The PostgreSQL named in DATABASE_URL does not answer, or does not let this user in.",
    ),
    (
        (
            "Temporary failure in name resolution",
            "Failed to establish a new connection",
            "ENOTFOUND",
            "EAI_AGAIN",
            "No matching distribution found",
            "Connection refused",
            "ETIMEDOUT",
            "Network is unreachable",
        ),
        "The packages cannot be reached, or there is none for this Python: check the network, start again.",
    ),
    (("Permission denied", "EACCES"), "A file may not be written: check who owns this folder and DATA_DIR."),
    (
        ("database disk image is malformed",),
        "The database file is damaged: restore the last backup (docs/operating.md).",
    ),
    (("database is locked",), "Another program holds the database: stop it and start again."),
)


def fail(sentence):
    sys.stderr.write(sentence + "\n")
    sys.exit(1)


def need_room(folder, need_mb):
    while not os.path.isdir(folder):
        folder = os.path.dirname(os.path.abspath(folder))
    free_mb = shutil.disk_usage(folder).free // (1024 * 1024)
    if free_mb < need_mb:
        fail(
            "The disk is full: %s has %d MB free and at least %d MB are needed."
            % (os.path.abspath(folder), free_mb, need_mb)
        )


def check_python():
    if sys.version_info[:2] < OLDEST:
        fail(
            "Staveward needs Python %d.%d or newer, and this is %d.%d: "
            "install one, or name it with make PYTHON=/path/to/python3."
            % (OLDEST + tuple(sys.version_info[:2]))
        )
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        fail("This Python has no venv module: install it (on Debian: apt-get install python3-venv).")
    if not os.path.exists(os.path.join(".venv", "bin", "node")):
        need_room(".", INSTALL_MB)


def port_number():
    given = os.environ.get("PORT") or "8000"
    if not given.isdigit() or not 0 < int(given) < 65536:
        fail("PORT must be a number from 1 to 65535, not %r." % given)
    return int(given)


def check_port(port):
    probe = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        probe.bind(("127.0.0.1", port))
    except OSError as error:
        if error.errno == errno.EACCES:
            fail(
                "Port %d is for the machine's administrator only: choose one above 1023: make run PORT=8080."
                % port
            )
        fail(
            "Port %d is taken by another program: stop it, or choose another: make run PORT=%d."
            % (port, port + 1)
        )
    finally:
        probe.close()


def check_start():
    check_port(port_number())
    folder = os.environ.get("DATA_DIR") or "data"
    try:
        os.makedirs(folder, exist_ok=True)
        probe = os.path.join(folder, ".probe-%d" % os.getpid())
        with open(probe, "wb") as file:
            file.write(b"0" * 4096)
        os.remove(probe)
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            fail("The disk is full: nothing can be written to %s." % os.path.abspath(folder))
        fail("The data folder %s cannot be written: %s." % (os.path.abspath(folder), error.strerror))
    need_room(folder, RUN_MB)


def do(what, command):
    """Runs one step quietly; its output is shown only when it fails, after the sentence that says why."""
    sys.stdout.write("%s ...\n" % what)
    sys.stdout.flush()
    try:
        step = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    except OSError as error:
        fail("%s failed: %s cannot be run (%s)." % (what, command[0], error.strerror))
    try:
        output = step.communicate()[0].decode("utf-8", "replace")
    except KeyboardInterrupt:
        step.wait()
        fail("Stopped.")
    if step.returncode == 0:
        return
    for signs, sentence in CAUSES:
        if any(sign in output for sign in signs):
            sys.stderr.write("\n".join(output.splitlines()[-TAIL_LINES:]) + "\n\n")
            fail("%s failed. %s" % (what, sentence))
    sys.stderr.write(output)
    fail("\n%s failed; the lines above say why." % what)


def main(arguments):
    if arguments == ["python"]:
        check_python()
    elif arguments == ["start"]:
        check_start()
    elif len(arguments) > 3 and arguments[0] == "do" and arguments[2] == "--":
        do(arguments[1], arguments[3:])
    else:
        fail("usage: preflight.py python | start | do WHAT -- COMMAND ...")


if __name__ == "__main__":
    main(sys.argv[1:])
