"""The panel that is tried: its disk with the demonstration bay on it, what the tour says of it, and where on
home its buttons are."""

import os
import re
import subprocess
import time

import glass
from machine import FOLDER, REPOSITORY, Fault, Machine, overlay, run

BAY = "/var/lib/fillcall/bay"
# Middle of the buttons at 800 x 480: of home, and of those on the way to a stick.
SAY_IT, WASH_DONE, MENU = (72, 405), (484, 405), (737, 390)
RECORDS, TAKE_AWAY, TO_A_STICK = (665, 212), (603, 63), (200, 390)
# Where home says how many washes ago the sprayer was calibrated.
COUNTED = (565, 14, 788, 70)
# What the panel's own clock says at power-on: an hour after the newest record. systemd never goes back before the
# day on which it was built, and puts the clock there.
DATE = "2025-03-14T08:00:00"


def program():
    """The program of the package, unpacked for this machine."""
    return os.path.join(FOLDER, "program", "usr", "bin", "fillcall")


def tour(name):
    """The picture that the tour drew of a stop."""
    folder = os.path.join(FOLDER, "tour", "7in-800x480")
    found = [file for file in os.listdir(folder) if file.endswith(f"-{name}.png")]
    if len(found) != 1:
        raise Fault(f"the tour has {len(found)} pictures of {name}")
    return glass.read_png(os.path.join(folder, found[0]))


def prepare(package):
    """Makes the disk for tests from a package, takes the tour, and puts the demonstration bay on the disk. It differs
    from the disk of a wall by a shell on the serial port alone."""
    stamp, wanted = os.path.join(FOLDER, "ready.for"), f"{package} {os.path.getmtime(package)}"
    if os.path.exists(stamp) and open(stamp).read() == wanted:
        return
    print("== The disk, the tour and the demonstration bay", flush=True)
    subprocess.run(["rm", "-rf", *(os.path.join(FOLDER, name) for name in ("program", "tour", "bay", "home.kept"))], check=True)
    run("dpkg-deb", "-x", package, os.path.join(FOLDER, "program"))
    subprocess.run([os.path.join(REPOSITORY, "kiosk-setup", "image"), "--serial-shell", package], check=True)
    made = os.path.basename(package).replace(".deb", "-serial-shell.img")
    os.replace(os.path.join(REPOSITORY, "target", "package", made), os.path.join(FOLDER, "panel.img"))
    run(program(), "tour", os.path.join(FOLDER, "tour"))
    bay = os.path.join(FOLDER, "bay")
    run(program(), "restore", bay, os.path.join(REPOSITORY, "kiosk-setup", "demo-bay", "history.toml"))
    run("tar", "-C", bay, "-cf", os.path.join(FOLDER, "bay.tar"), ".")
    put_the_bay_in()
    with open(stamp, "w") as file:
        file.write(wanted)


def put_the_bay_in():
    """Starts the panel as it comes from the image, and puts the demonstration bay in the place of the new one."""
    more = ["-drive", "file=/emulation/bay.tar,format=raw,if=virtio,readonly=on"]
    with Machine(overlay("ready.qcow2", "panel.img"), DATE, more) as machine:
        machine.wait_for_shell()
        machine.shell("systemctl stop fillcall")
        machine.shell(f"rm -rf {BAY} && mkdir {BAY} && tar -xf /dev/vdb -C {BAY} && chown -R fillcall: {BAY}")
        machine.shell("sync; umount /var/lib/fillcall; mount -o remount,ro /")


def switched_on(name="run.qcow2", **more):
    """A panel that is switched on, on a disk that holds what differs from the prepared one."""
    return Machine(overlay(name, "ready.qcow2"), DATE, **more)


def at_home(more=()):
    """A panel at home, with a shell on its serial port: the state that the first call came to and kept."""
    if not os.path.exists(os.path.join(FOLDER, "home.kept")):
        with switched_on("home.qcow2") as machine:
            glass.wait_for(machine, tour("fill"), 400)
            machine.wait_for_shell()
            # The first picture is there before systemd is told of it.
            until(machine, lambda: wall(machine)[2] == "active", 60)
            machine.keep("home")
        open(os.path.join(FOLDER, "home.kept"), "w").close()
    machine = Machine("home.qcow2", DATE, kept="home", more=more).start()
    try:
        machine.wait_for_shell()
    except Fault:
        machine.cut()
        raise
    return machine


def tap_a_wash(machine, seconds):
    """Taps "wash done"; true if the glass counted one within so many seconds."""
    before = glass.part(machine.picture(), COUNTED)
    machine.tap(WASH_DONE)
    end = time.time() + seconds
    while time.time() < end:
        if glass.part(machine.picture(), COUNTED) != before:
            return True
        time.sleep(0.1)
    return False


def wall(machine):
    """The process of the wall, and how often systemd has started it anew."""
    words = machine.shell("systemctl show fillcall -p MainPID -p NRestarts -p ActiveState --value").split()
    return int(words[0]), int(words[1]), words[2]


def until(machine, wanted, seconds):
    """Waits until a look at the panel is true; gives the seconds it took."""
    begin = time.time()
    while time.time() - begin < seconds:
        if wanted():
            return time.time() - begin
        time.sleep(0.5)
    raise Fault("it did not come to that within %d s" % seconds)


def since_start(machine, unit):
    """When a unit was ready last, in seconds since the panel started, by its own clock."""
    return float(machine.shell(f"systemctl show {unit} -p ActiveEnterTimestampMonotonic --value")) / 1e6


def uptime(machine):
    """The seconds since the panel started, by its own clock."""
    return float(machine.shell("cut -d' ' -f1 /proc/uptime"))


def washes(machine):
    """How many washes the records have."""
    found = re.search(r"^Records: (\d+) wash", said := machine.shell(f"fillcall check {BAY}"), re.MULTILINE)
    if not found:
        raise Fault(f"the records do not say how many washes: {said}")
    return int(found[1])


def newest_package():
    """The package that was built last."""
    folder = os.path.join(REPOSITORY, "target", "package")
    found = [os.path.join(folder, name) for name in os.listdir(folder) if name.endswith("_amd64.deb")]
    if not found:
        raise Fault("there is no package: run kiosk-setup/package")
    return max(found, key=os.path.getmtime)
