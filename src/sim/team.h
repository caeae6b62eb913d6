/* Threads that go through one piece of work together, each on its own share of the rows. One parallel region
 * round a whole solve costs one meeting a pass where a region a pass costs two. Passes take tens of microseconds, so
 * who waits looks on for about that long; only then, when the others seem to be off their cores, it makes room. */
#ifndef THAW_SIM_TEAM_H
#define THAW_SIM_TEAM_H

#include <stdatomic.h>
#include <stddef.h>

#include "base/crew.h"

#ifdef _OPENMP
#include <omp.h>
#endif

/* Where they meet; starts as zero. */
typedef struct thaw_meeting {
    atomic_int arrived;
    atomic_uint turn;              /* meetings so far */
} thaw_meeting;

typedef struct thaw_team {
    int rank, size;
    thaw_meeting *meeting;
} thaw_team;

/* One thread, which waits for nobody. */
static inline thaw_team thaw_team_alone(void)
{
    return (thaw_team){0, 1, NULL};
}

/* The threads of the parallel region that this is called in. */
static inline thaw_team thaw_team_here(thaw_meeting *meeting)
{
#ifdef _OPENMP
    return (thaw_team){omp_get_thread_num(), omp_get_num_threads(), meeting};
#else
    (void)meeting;
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
    if (team.size < 2) {
        return;
    }
    const unsigned turn = atomic_load_explicit(&team.meeting->turn, memory_order_relaxed);
    if (atomic_fetch_add_explicit(&team.meeting->arrived, 1, memory_order_acq_rel) == team.size - 1) {
        atomic_store_explicit(&team.meeting->arrived, 0, memory_order_relaxed);
        atomic_store_explicit(&team.meeting->turn, turn + 1, memory_order_release);
        return;
    }
    for (int looks = 0; atomic_load_explicit(&team.meeting->turn, memory_order_acquire) == turn; looks++) {
        thaw_crew_linger(looks);
    }
}

#endif
