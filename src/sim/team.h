/* Threads that go through one piece of work together, each on its own share of the rows. One parallel region
 * round a whole solve costs one meeting a pass where a region a pass costs two. */
#ifndef THAW_SIM_TEAM_H
#define THAW_SIM_TEAM_H

#include <stddef.h>

#ifdef _OPENMP
#include <omp.h>
#endif

typedef struct thaw_team {
    int rank, size;
} thaw_team;

/* One thread, which waits for nobody. */
static inline thaw_team thaw_team_alone(void)
{
    return (thaw_team){0, 1};
}

/* The threads of the parallel region that this is called in. */
static inline thaw_team thaw_team_here(void)
{
#ifdef _OPENMP
    return (thaw_team){omp_get_thread_num(), omp_get_num_threads()};
#else
    return thaw_team_alone();
#endif
}

/* Shares are [first, end) of n; what is computed in them must not depend on where they are cut. */
static inline size_t thaw_team_first(thaw_team team, size_t n)
{
    return n * (size_t)team.rank / (size_t)team.size;
}

static inline size_t thaw_team_end(thaw_team team, size_t n)
{
    return n * ((size_t)team.rank + 1) / (size_t)team.size;
}

/* Nobody goes on before all are here. */
static inline void thaw_team_wait(thaw_team team)
{
    if (team.size > 1) {
#pragma omp barrier
    }
}

#endif
