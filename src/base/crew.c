#include "base/crew.h"

#include <stdatomic.h>
#include <threads.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#define MOST_THREADS 64

typedef struct crew {
    int n;
    atomic_int next;
    thaw_crew_work work;
    void *user;
} crew;

int thaw_crew_size(void)
{
#ifdef _OPENMP
    return omp_get_max_threads() < MOST_THREADS ? omp_get_max_threads() : MOST_THREADS;
#else
    return 1;
#endif
}

int thaw_crew_set_threads(int n)
{
    const int before = thaw_crew_size();
#ifdef _OPENMP
    omp_set_num_threads(n);
#else
    (void)n;
#endif
    return before;
}

static void take_pieces(crew *c, bool first)
{
    const int before = thaw_crew_set_threads(1);
    if (first && c->n > 0) {
        c->work(c->user, 0, true);
    }
    for (int i; (i = atomic_fetch_add(&c->next, 1)) < c->n;) {
        c->work(c->user, i, first);
    }
    thaw_crew_set_threads(before);
}

static int run_hand(void *user)
{
    take_pieces(user, false);
    return 0;
}

void thaw_crew_run(int n, thaw_crew_work work, void *user)
{
    crew c = {.n = n, .work = work, .user = user};
    atomic_init(&c.next, 1);
    thrd_t hands[MOST_THREADS];
    int n_hands = 0;
    const int wanted = thaw_crew_size() < n ? thaw_crew_size() : n;
    while (n_hands + 1 < wanted && thrd_create(&hands[n_hands], run_hand, &c) == thrd_success) {
        n_hands++;
    }
    take_pieces(&c, true);
    for (int h = 0; h < n_hands; h++) {
        thrd_join(hands[h], NULL);
    }
}

#define IDLE_LOOKS 400             /* about 20 us with a pause between */
#define YIELDS 100
#define SLEEP_NS 50000

void thaw_crew_linger(int looks)
{
    if (looks < IDLE_LOOKS) {
#if defined __x86_64__ || defined __i386__
        __builtin_ia32_pause();
#endif
    } else if (looks < IDLE_LOOKS + YIELDS) {
        thrd_yield();
    } else {
        thrd_sleep(&(struct timespec){.tv_nsec = SLEEP_NS}, NULL);
    }
}
