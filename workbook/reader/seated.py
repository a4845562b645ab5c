"""The server of one student of a class server, without what no lesson needs."""

from workbook.reader.light import lighten_server


def main() -> None:
    """Run the server that the class server asked for, until it is ended."""
    lighten_server()
    from jupyterhub.singleuser import main as run

    run()


if __name__ == "__main__":
    main()
