"""A panel in emulation: the disk image under UEFI, with display, touch, keyboard and sound card.

Everything of a run lies below target/emulation. The emulator is a newer one than Debian 12 has, because
that one knows no touch panel; it is unpacked into a folder of its own and changes nothing of this machine.
"""

import json
import os
import re
import socket
import subprocess
import time

REPOSITORY = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
FOLDER = os.path.join(REPOSITORY, "target", "emulation")
EMULATOR = os.path.join(FOLDER, "emulator")
# The folder of the run as the emulator sees it.
INSIDE = "/emulation"
# Points across and down: the panel of the demonstration bay.
WIDTH, HEIGHT = 800, 480
# What an axis of the touch panel counts to.
AXIS = 32767


class Fault(Exception):
    """Something is not as it must be."""


def run(*command, **options):
    """The output of a command of this machine."""
    return subprocess.run(command, check=True, capture_output=True, text=True, **options).stdout


def install_emulator():
    """Unpacks the emulator and its firmware once."""
    if os.path.exists(os.path.join(EMULATOR, "complete")):
        return
    print("== Fetching the emulator", flush=True)
    mirror = os.path.join(REPOSITORY, "kiosk-setup", "mirror")
    suite, url = run(mirror, "suite").strip(), run(mirror, "url").strip()
    subprocess.run(["rm", "-rf", EMULATOR], check=True)
    os.makedirs(FOLDER, exist_ok=True)
    run(
        "mmdebstrap", "--quiet", "--mode=root", "--variant=extract", "--include=qemu-system-x86,qemu-utils,ovmf",
        f"--aptopt=APT::Default-Release \"{suite}-backports\"", suite, EMULATOR,
        f"deb {url} {suite} main", f"deb {url} {suite}-backports main",
    )
    for inner in (INSIDE, "/dev", "/proc"):
        os.makedirs(EMULATOR + inner, exist_ok=True)
    open(os.path.join(EMULATOR, "complete"), "w").close()


def emulator(program, *arguments):
    """The command that runs a program of the emulator's folder, with the folder of the run in its reach.
    The mounts are of a namespace of their own and go with the program."""
    mounts = (
        f"mount --rbind /dev {EMULATOR}/dev && mount --rbind /proc {EMULATOR}/proc && "
        f"mount --bind {FOLDER} {EMULATOR}{INSIDE} && exec chroot {EMULATOR} \"$@\""
    )
    return ["unshare", "--mount", "sh", "-c", mounts, "sh", program, *arguments]


def overlay(name, base):
    """A new disk that holds only what differs from `base`; both names are below the run's folder."""
    path = os.path.join(FOLDER, name)
    if os.path.exists(path):
        os.remove(path)
    kind = "qcow2" if base.endswith(".qcow2") else "raw"
    run(*emulator("qemu-img", "create", "-q", "-f", "qcow2", "-F", kind, "-b", f"{INSIDE}/{base}", f"{INSIDE}/{name}"))
    return name


class Machine:
    """One panel. `disk` is a file below the run's folder; `date` is what its clock shows first."""

    def __init__(self, disk, date=None, more=(), kept=None, log=None):
        """`kept` is the name of a state that `keep` kept on the disk, to go on from; `log` a file below the run's
        folder into which each write to the disk and each flush of it goes."""
        self.disk, self.date, self.more, self.kept, self.log = disk, date, list(more), kept, log
        self.process = None
        self.tracking = 0

    def _arguments(self):
        kind = "qcow2" if self.disk.endswith(".qcow2") else "raw"
        firmware = "/usr/share/OVMF/OVMF_CODE_4M.fd"
        arguments = [
            "-nodefaults", "-display", "none", "-machine", "q35", "-accel", "tcg", "-cpu", "max", "-m", "768", "-smp", "1",
            "-drive", f"if=pflash,format=raw,readonly=on,file={firmware}",
            "-drive", f"if=pflash,format=qcow2,file={INSIDE}/firmware-{self.disk}",
            *self._disk(kind),
            "-device", f"virtio-gpu-pci,xres={WIDTH},yres={HEIGHT}",
            "-device", "pcie-root-port,id=port1,chassis=1,slot=1",
            "-device", "pcie-root-port,id=port2,chassis=2,slot=2",
            "-device", "virtio-multitouch-pci,id=touch,bus=port1",
            "-device", "virtio-keyboard-pci,id=keyboard,bus=port2",
            "-audiodev", f"wav,id=sound,path={INSIDE}/sound.wav,out.frequency=48000",
            "-device", "intel-hda", "-device", "hda-output,audiodev=sound",
            "-device", "qemu-xhci,id=usb", "-device", "virtio-rng-pci", "-nic", "none",
            "-serial", f"unix:{INSIDE}/shell.socket,server=on,wait=off",
            "-qmp", f"unix:{INSIDE}/control.socket,server=on,wait=off",
        ]
        if self.date:
            arguments += ["-rtc", f"base={self.date}"]
        if self.kept:
            arguments += ["-loadvm", self.kept]
        return arguments + self.more

    def _disk(self, kind):
        if self.log is None:
            return ["-drive", f"file={INSIDE}/{self.disk},format={kind},if=virtio"]
        open(os.path.join(FOLDER, self.log), "wb").close()
        return [
            "-blockdev", f"driver={kind},node-name=below,file.driver=file,file.filename={INSIDE}/{self.disk}",
            "-blockdev", f"driver=file,node-name=log,filename={INSIDE}/{self.log}",
            "-blockdev", "driver=blklogwrites,node-name=logged,file=below,log=log,log-super-update-interval=1",
            "-device", "virtio-blk-pci,drive=logged",
        ]

    def start(self):
        """Switches the panel on."""
        for name in ("control.socket", "shell.socket", "sound.wav"):
            if os.path.exists(os.path.join(FOLDER, name)):
                os.remove(os.path.join(FOLDER, name))
        # What was kept lies in the first of the machine's disks, which is the firmware's.
        if not self.kept:
            variables, mine = "/usr/share/OVMF/OVMF_VARS_4M.fd", f"{INSIDE}/firmware-{self.disk}"
            run(*emulator("qemu-img", "convert", "-O", "qcow2", variables, mine))
        log = open(os.path.join(FOLDER, "emulator.log"), "w")
        command = emulator("qemu-system-x86_64", *self._arguments())
        self.process = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT)
        self.control = self._connect("control.socket").makefile("rw")
        self.control.readline()
        self.tell("qmp_capabilities")
        self.serial = self._connect("shell.socket")
        self.heard = b""
        return self

    def _connect(self, name):
        path, end = os.path.join(FOLDER, name), time.time() + 30
        while time.time() < end:
            if self.process.poll() is not None:
                raise Fault("the emulator ended: " + open(os.path.join(FOLDER, "emulator.log")).read())
            try:
                link = socket.socket(socket.AF_UNIX)
                link.connect(path)
                return link
            except OSError:
                time.sleep(0.1)
        raise Fault(f"the emulator gave no {name}")

    def cut(self):
        """Takes the power away."""
        if self.process is not None and self.process.poll() is None:
            self.process.kill()
            self.process.wait()

    def __enter__(self):
        return self if self.process else self.start()

    def __exit__(self, *_):
        self.cut()

    # ---- The emulator's control.

    def tell(self, command, **arguments):
        """Has the emulator do something; gives what it answers."""
        self.control.write(json.dumps({"execute": command, "arguments": arguments}) + "\n")
        self.control.flush()
        while True:
            answer = json.loads(self.control.readline())
            if "error" in answer:
                raise Fault(f"{command}: {answer['error']['desc']}")
            if "return" in answer:
                return answer["return"]

    def keep(self, name):
        """Keeps the whole state of the machine on its disk, under a name."""
        said = self.tell("human-monitor-command", **{"command-line": f"savevm {name}"})
        if said.strip():
            raise Fault(f"the state was not kept: {said.strip()}")

    def plug_out(self, device):
        """Pulls a device out."""
        self.tell("device_del", id=device)
        time.sleep(8)

    def plug_in(self, driver, device, port):
        """Puts it back."""
        self.tell("device_add", driver=driver, id=device, bus=port)
        time.sleep(4)

    # ---- The hand.

    def _touch(self, x, y, down):
        def part(kind, axis="x", value=0):
            data = {"type": kind, "slot": 0, "tracking-id": self.tracking if down else -1, "axis": axis, "value": value}
            return {"type": "mtt", "data": data}

        if down:
            self.tracking += 1
            events = [part("begin"), {"type": "btn", "data": {"button": "touch", "down": True}}]
            events += [part("data", "x", x * AXIS // WIDTH), part("data", "y", y * AXIS // HEIGHT)]
        else:
            events = [part("end"), {"type": "btn", "data": {"button": "touch", "down": False}}]
        self.tell("input-send-event", events=events)

    def tap(self, place, lasts=0.25):
        """Taps the glass at a point of it."""
        self._touch(*place, True)
        time.sleep(lasts)
        self._touch(*place, False)

    def keys(self, chord):
        """Presses keys together: "ctrl+alt+delete"."""
        keys = [{"type": "qcode", "data": key} for key in chord.split("+")]
        self.tell("send-key", keys=keys, **{"hold-time": 150})
        time.sleep(0.4)

    # ---- The glass.

    def picture(self):
        """Width, height and the points of the glass, three bytes each."""
        self.tell("screendump", filename=f"{INSIDE}/glass.ppm")
        data = open(os.path.join(FOLDER, "glass.ppm"), "rb").read()
        head = re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data)
        return int(head[1]), int(head[2]), data[head.end():]

    # ---- The shell on the serial port, which only the image for tests has.

    def _hear(self, seconds):
        self.serial.settimeout(max(seconds, 0.01))
        try:
            self.heard += self.serial.recv(65536)
        except socket.timeout:
            pass

    def wait_for_shell(self, seconds=300):
        """Waits until somebody is logged in at the serial port."""
        end = time.time() + seconds
        while time.time() < end:
            # Without an editor of its own, which would say everything again.
            self.serial.sendall(b"exec env PS1= PS2= SYSTEMD_PAGER=cat bash --norc --noediting\n")
            self.serial.sendall(b"stty -echo; echo there-$((40+2))\n")
            stop = time.time() + 2
            while time.time() < stop:
                self._hear(0.5)
                if b"there-42" in self.heard:
                    self._hear(0.5)
                    self.heard = b""
                    return
        raise Fault("no shell on the serial port: " + self.heard.decode(errors="replace")[-400:])

    def shell(self, command, seconds=120):
        """The output of a command in the panel."""
        self.tracking += 1
        mark, self.heard = f"done-{self.tracking}-", b""
        self.serial.sendall(f"{{ {command}\n}} 2>&1; printf 'done-%s-%s\\n' {self.tracking} $?\n".encode())
        end, pattern = time.time() + seconds, re.compile(mark.encode() + rb"(\d+)")
        while time.time() < end:
            found = pattern.search(self.heard)
            if found:
                return self.heard[: found.start()].decode(errors="replace").replace("\r", "").strip()
            self._hear(1)
        raise Fault(f"no answer to {command}: " + self.heard.decode(errors="replace")[-400:])
