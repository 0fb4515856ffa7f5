"""Pictures: those of the glass and those that the tour wrote, held against each other."""

import os
import struct
import time
import zlib

from machine import FOLDER, Fault


def read_png(path):
    """Width, height and points, three bytes each, of a PNG with 8 bits, with or without transparency."""
    data, at, packed = open(path, "rb").read(), 8, b""
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + size]
        if kind == b"IHDR":
            width, height, _, colour = struct.unpack(">IIBB", body[:10])
        if kind == b"IDAT":
            packed += body
        at += size + 12
    step = {2: 3, 6: 4}[colour]
    raw, row, before, points = zlib.decompress(packed), width * step, bytearray(width * step), bytearray()
    for y in range(height):
        kind, line = raw[y * (row + 1)], bytearray(raw[y * (row + 1) + 1 : (y + 1) * (row + 1)])
        unfilter(kind, line, before, step)
        for x in range(width):
            points += line[x * step : x * step + 3]
        before = line
    return width, height, bytes(points)


def unfilter(kind, line, before, step):
    """Takes a PNG's filter off a line, in place (PNG specification, section 9)."""
    for i in range(len(line)):
        a, b = (line[i - step] if i >= step else 0), before[i]
        c = before[i - step] if i >= step else 0
        if kind == 1:
            line[i] = (line[i] + a) & 255
        elif kind == 2:
            line[i] = (line[i] + b) & 255
        elif kind == 3:
            line[i] = (line[i] + (a + b) // 2) & 255
        elif kind == 4:
            p = a + b - c
            nearest = min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))
            line[i] = (line[i] + nearest[2]) & 255


def write_ppm(name, picture):
    """Keeps a picture below the run's folder, to be looked at."""
    width, height, points = picture
    with open(os.path.join(FOLDER, name), "wb") as file:
        file.write(f"P6 {width} {height} 255\n".encode() + points)


def part(picture, box):
    """The points inside a box: left, top, right, bottom."""
    width, _, points = picture
    left, top, right, bottom = box
    return b"".join(points[(y * width + left) * 3 : (y * width + right) * 3] for y in range(top, bottom))


def differing(one, other):
    """The share of points that differ by more than a hardly visible step, and the box around them."""
    if one[:2] != other[:2]:
        raise Fault(f"a picture of {one[0]} x {one[1]} beside one of {other[0]} x {other[1]}")
    width, height, a = one
    b, count, box = other[2], 0, [width, height, 0, 0]
    for at in range(0, width * height * 3, 3):
        if a[at : at + 3] != b[at : at + 3] and max(abs(a[at + i] - b[at + i]) for i in range(3)) > 8:
            x, y = at // 3 % width, at // 3 // width
            count, box = count + 1, [min(box[0], x), min(box[1], y), max(box[2], x), max(box[3], y)]
    return count / (width * height), box


def wait_for(machine, picture, seconds, least=0.98):
    """Waits until the glass shows a picture, but for a share of its points; gives the seconds it took."""
    begin, last = time.time(), 1.0
    while time.time() - begin < seconds:
        seen = machine.picture()
        if seen[:2] == picture[:2]:
            last = differing(seen, picture)[0]
            if last <= 1 - least:
                return time.time() - begin
        time.sleep(0.5)
    write_ppm("not-shown.ppm", machine.picture())
    raise Fault(f"the glass does not show it: {last:.1%} of its points differ, see not-shown.ppm")


def still(machine, seconds=30):
    """The picture of the glass once it stands still for a second and a half."""
    end, last, since = time.time() + seconds, machine.picture(), time.time()
    while time.time() < end:
        now = machine.picture()
        if now != last:
            last, since = now, time.time()
        elif time.time() - since > 1.5:
            break
        time.sleep(0.3)
    return last
