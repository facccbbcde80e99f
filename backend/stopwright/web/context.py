"""What every page works with: the store, the shop to start from, the templates, the door."""

from dataclasses import dataclass

from stopwright.actions.letting_in import Door
from stopwright.model.stations import Shop
from stopwright.store.log import Store
from stopwright.web.certificate import ShopCertificate
from stopwright.web.pages import Pages


@dataclass(frozen=True, slots=True)
class Web:
    """Made once by `create_app`. `shop` holds until one is saved; `address` is where phones reach the bench, or "".

    `certificate` is there when they reach it over HTTPS.
    """

    store: Store
    shop: Shop
    pages: Pages
    door: Door
    address: str = ""
    certificate: ShopCertificate | None = None

    @property
    def on_labels(self) -> str:
        """The address that is printed: the name on the network where no phone can reach the bench now."""
        return self.address or "http://stopwright.local:8765"
