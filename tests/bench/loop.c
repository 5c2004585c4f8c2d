#include <stdio.h>
#include <stdlib.h>

/* loop BLOCKS: what a simple generator would be, one fprintf a block, numbers as doubles, the blocks as long as skimcut's. */
int
main(int argc, char *argv[])
{
	long blocks = argc > 1 ? atol(argv[1]) : 0;

	for (long i = 0; i < blocks / 2; i++) {
		fprintf(stdout, "Y%.2f\n", 499.15 - (double)(i % 5001) * 0.1);
		fprintf(stdout, "X%.1f\n", i % 2 ? 503.5 : -3.5);
	}
	return fflush(stdout) == 0 && !ferror(stdout) ? 0 : 1;
}
