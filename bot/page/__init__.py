"""The page: the same conversation in a browser, beside the shelf and the keeper's board. Loopback only unless told otherwise."""

from bot.page.serving import RunningPage, run, serve
from bot.page.settings import PageSettingError, PageSettings, read_page_settings

__all__ = ["PageSettingError", "PageSettings", "RunningPage", "read_page_settings", "run", "serve"]
