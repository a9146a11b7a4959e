"""Average networks that were taught from the same one: `python -m tests.learning.average OUT.pt NETWORK.pt ...`.

The mean of their weights (Wortsman et al. 2022, "Model soups", section 2) costs nothing when a text is heard; it only makes sense for networks
that went on from one and the same.
"""

import argparse
from pathlib import Path

import torch


def main() -> None:
    """Write the average."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("networks", type=Path, nargs="+")
    asked = parser.parse_args()
    kept = [torch.load(file, map_location="cpu", weights_only=True) for file in asked.networks]
    state = {key: torch.stack([one["state"][key] for one in kept]).mean(0) for key in kept[0]["state"]}
    torch.save({**kept[0], "state": state}, asked.out)


if __name__ == "__main__":
    main()
