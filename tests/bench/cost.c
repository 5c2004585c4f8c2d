#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* cost TIMES OUT COMMAND...: runs the command TIMES times with its output to OUT; prints seconds a run and peak KiB of the last. */

static double now_s(void);

int
main(int argc, char *argv[])
{
	struct rusage usage = { 0 };
	double        began;
	int           times = argc > 3 ? atoi(argv[1]) : 0;

	if (times < 1)
		return 2;
	began = now_s();
	for (int i = 0; i < times; i++) {
		pid_t process = fork();
		int   status;

		if (process == 0) {
			int out = open(argv[2], O_WRONLY | O_CREAT | O_TRUNC, 0666);

			if (out < 0 || dup2(out, STDOUT_FILENO) < 0)
				_exit(126);
			execvp(argv[3], argv + 3);
			_exit(127);
		}
		if (process < 0 || wait4(process, &status, 0, &usage) != process || status != 0) {
			fprintf(stderr, "cost: %s failed\n", argv[3]);
			return 1;
		}
	}
	printf("%.6f %ld\n", (now_s() - began) / times, usage.ru_maxrss);
	return 0;
}

static double
now_s(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}
