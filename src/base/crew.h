/* Independent pieces of work side by side. Plain threads, each with one OpenMP thread of its own: OpenMP regions inside
 * OpenMP regions cost more than the small loops in them. */
#ifndef THAW_BASE_CREW_H
#define THAW_BASE_CREW_H

#include <stdbool.h>

/* Piece i of the work; `first` is true on the thread that called, the only one that may tell of progress. */
typedef void (*thaw_crew_work)(void *user, int i, bool first);

/* Pieces 0 .. n - 1, each once, the first by the thread that called, the others in no set order, on as many threads as OpenMP would take. Where no more threads can
 * be had, fewer do the work. */
void thaw_crew_run(int n, thaw_crew_work work, void *user);

/* How many threads that would be. */
int thaw_crew_size(void);
/* OpenMP threads of the calling thread from here on; returns how many there were. */
int thaw_crew_set_threads(int n);
/* Called again and again while something is waited for that should come in microseconds: idles at first, for about
 * 20 us in all, then lets other threads go first, then sleeps. looks: calls before this one. */
void thaw_crew_linger(int looks);

#endif
