"""What is tried on the panel. Each check gives what it measured, in words, or raises a fault."""

import os
import time

import glass
import panel
from machine import FOLDER, INSIDE, Fault, run

# Every way by which a keyboard ends or leaves something on a Linux machine.
CHORDS = (
    "ctrl+alt+f1 ctrl+alt+f2 ctrl+alt+f3 ctrl+alt+f7 alt+f1 alt+f2 alt+left alt+right ctrl+alt+delete ctrl+alt+backspace "
    "ctrl+c ctrl+z ctrl+backslash ctrl+d alt+f4 alt+tab ctrl+alt+t meta_l meta_l+l "
    "alt+sysrq+b alt+sysrq+e alt+sysrq+i alt+sysrq+k alt+sysrq+o alt+sysrq+u alt+sysrq+f power sleep wake"
).split()
# A stuck wall is back within this time (seconds of the panel's clock).
BACK_WITHIN = 30


def boots_to_home():
    """From power-on to home: the very picture that the tour drew."""
    with panel.switched_on() as machine:
        took = glass.wait_for(machine, panel.tour("fill"), 400, least=1.0)
        machine.wait_for_shell()
        panel.until(machine, lambda: panel.wall(machine)[2] == "active", 60)
        ready = panel.since_start(machine, "fillcall")
        begun = float(machine.shell("systemctl show fillcall -p ExecMainStartTimestampMonotonic --value")) / 1e6
        # State 0A is a socket that listens (proc_net_tcp.rst of the kernel); a UDP socket that waits is in state 07.
        listening = machine.shell("cat /proc/net/tcp* /proc/net/udp* | awk '$4 == \"0A\" || $4 == \"07\"'")
        if listening:
            raise Fault(f"something listens: {listening}")
        start = f"power-on to home {took:.0f} s, the wall's start to READY {ready - begun:.1f} s"
        return f"{start}, not a point differs from the tour's picture"


def no_key_leads_out():
    """Each chord leaves the same process and the same picture."""
    with panel.at_home() as machine:
        before, shown = panel.wall(machine), machine.picture()
        for chord in CHORDS:
            machine.keys(chord)
        for _ in range(9):
            machine.keys("ctrl+alt+delete")
        seen = glass.still(machine)
        if panel.wall(machine) != before:
            raise Fault(f"the wall is {panel.wall(machine)} and was {before}")
        share, box = glass.differing(seen, shown)
        if share > 0:
            glass.write_ppm("after-keys.ppm", seen)
            raise Fault(f"{share:.2%} of the glass changed, in {box}")
        return f"{len(CHORDS)} chords, and Ctrl+Alt+Delete nine times: same process, not a point changed"


def back_after(machine, does, within=BACK_WITHIN):
    """Does something to the wall's process and waits until another one is ready; seconds by the panel's clock."""
    process = panel.wall(machine)[0]
    begin = panel.uptime(machine)
    machine.shell(does.format(process))
    panel.until(machine, lambda: panel.wall(machine)[0] not in (0, process) and panel.wall(machine)[2] == "active", 180)
    ready = panel.since_start(machine, "fillcall")
    if ready - begin > within:
        raise Fault(f"it took {ready - begin:.1f} s")
    return ready - begin


def back_by_itself():
    """A wall that is stuck, and one that is killed, is back within 30 s."""
    with panel.at_home() as machine:
        stuck = back_after(machine, "kill -STOP {}")
        glass.wait_for(machine, panel.tour("fill"), 60)
        killed = back_after(machine, "kill -KILL {}")
        glass.wait_for(machine, panel.tour("fill"), 60)
        return f"stuck (SIGSTOP): ready again after {stuck:.1f} s; killed: after {killed:.1f} s"


def the_fault_page_goes_by_itself():
    """A program that ends at every start: the fault page, and home again once it is mended."""
    with panel.at_home() as machine:
        machine.shell("mv /usr/bin/fillcall /usr/bin/fillcall.right")
        machine.shell("printf '#!/bin/sh\\nexit 1\\n' >/usr/bin/fillcall; chmod +x /usr/bin/fillcall")
        begin = panel.uptime(machine)
        machine.shell("kill -KILL $(systemctl show fillcall -p MainPID --value)")
        panel.until(machine, lambda: machine.shell("systemctl is-active fillcall-fault") == "active", 180)
        told = panel.since_start(machine, "fillcall-fault") - begin
        glass.write_ppm("fault.ppm", glass.still(machine))
        machine.shell("mv /usr/bin/fillcall.right /usr/bin/fillcall")
        again = glass.wait_for(machine, panel.tour("fill"), 180)
        panel.until(machine, lambda: machine.shell("systemctl is-active fillcall-fault") != "active", 120)
        return f"fault page after {told:.0f} s, home {again:.0f} s after it was mended"


def leaves_on_a_stick():
    """A stick that is pushed in takes the tables and the wall card from the screen, and can be pulled out."""
    stick = os.path.join(FOLDER, "stick.img")
    run("truncate", "-s", "64M", stick)
    run("mkfs.vfat", "-n", "BAY", stick)
    more = ["-blockdev", f"driver=raw,node-name=stick,file.driver=file,file.filename={INSIDE}/stick.img"]
    with panel.at_home(more) as machine:
        before = panel.wall(machine)
        machine.tell("device_add", driver="usb-storage", id="stick", bus="usb.0", drive="stick", removable=True)
        panel.until(machine, lambda: "BAY" in machine.shell("ls /dev/disk/by-label"), 60)
        for place in (panel.MENU, panel.RECORDS, panel.TAKE_AWAY, panel.TO_A_STICK):
            machine.tap(place)
            glass.still(machine)
        panel.until(machine, lambda: "/dev/sda" not in machine.shell("cat /proc/mounts") and "csv" in listing(stick), 120)
        glass.write_ppm("stick.ppm", glass.still(machine))
        machine.plug_out("stick")
        if panel.wall(machine) != before:
            raise Fault("the wall ended")
    names = [line.split("/")[-1] for line in listing(stick).splitlines() if not line.endswith("/")]
    return f"on the stick: {', '.join(names)}"


def listing(stick):
    """The names of all files on a stick with FAT."""
    return run("mdir", "-/", "-b", "-i", stick, "::")


# Update and rollback come here once a package on a stick can be installed.
ALL = [
    boots_to_home, no_key_leads_out, back_by_itself, the_fault_page_goes_by_itself, leaves_on_a_stick,
]
