"""`frywire unit`: a systemd unit that keeps Frywire running, printed with the paths of this installation."""

from __future__ import annotations

import argparse
import sys
from getpass import getuser
from pathlib import Path

UNIT = """# As root: put this into /etc/systemd/system/frywire.service and the settings, one NAME=VALUE a line, into {environment}
# (mode 600: it may hold a token). Then: systemctl enable --now frywire
[Unit]
Description=Frywire, the memory and order book of a fish breeders' club
After=network-online.target
Wants=network-online.target

[Service]
User={user}
ExecStart={python} -m bot start
WorkingDirectory={folder}
EnvironmentFile=-{environment}
Restart=always
RestartSec=5
TimeoutStopSec=30
NoNewPrivileges=yes
PrivateTmp=yes
ProtectSystem=full

[Install]
WantedBy=multi-user.target
"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """The subcommand's arguments."""
    parser.add_argument("--user", default=getuser(), help="who runs it: whoever made the club, since the database is in their data folder")
    parser.add_argument("--environment", default="/etc/frywire.env", help="file with the settings, one NAME=VALUE a line")


def run(options: argparse.Namespace) -> int:
    """Print the unit."""
    unit = UNIT.format(user=options.user, python=sys.executable, folder=Path.cwd(), environment=options.environment)
    print(unit, end="")  # noqa: T201
    return 0
