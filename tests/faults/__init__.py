"""What breaks under a club: processes, disks, clocks, settings, single messages. Nothing acknowledged is lost, nothing is doubled."""
