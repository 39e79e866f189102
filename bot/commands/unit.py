"""`frywire unit`: a systemd unit that keeps Frywire running, printed with the paths of this installation."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

UNIT = """[Unit]
Description=Frywire, the memory and order book of a fish breeders' club
After=network-online.target
Wants=network-online.target

[Service]
ExecStart={python} -m bot start
WorkingDirectory={folder}
EnvironmentFile={environment}
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
    parser.add_argument("--environment", default="/etc/frywire.env", help="file with the settings, one NAME=VALUE a line")


def run(options: argparse.Namespace) -> int:
    """Print the unit."""
    print(UNIT.format(python=sys.executable, folder=Path.cwd(), environment=options.environment), end="")  # noqa: T201
    return 0
