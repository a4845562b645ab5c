"""The kernel of a lesson: that of any notebook, without what no lesson needs.

A server starts it by ``kernels/python3``; the notebooks name no other kernel than
anybody's, and run in that as well.
"""

from workbook.reader.light import KERNEL, leave_out


def main() -> None:
    """Run the kernel that the command line describes, until its server ends it."""
    leave_out(KERNEL)
    from ipykernel.kernelapp import launch_new_instance

    launch_new_instance()


if __name__ == "__main__":
    main()
