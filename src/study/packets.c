#include "study/packets.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"

#define STEP_KG 1e-4
#define MOST_STEPS 2000000         /* 200 kg */

/* The best way to have at least so many steps. */
typedef struct way {
    double cost;                   /* money, or left over */
    int packets, last;             /* last: size of the packet taken last; -1 none */
} way;

static bool is_better(const way *a, const way *b)
{
    const double near = 1e-9 * (1.0 + fabs(b->cost));
    return a->cost < b->cost - near || (a->cost < b->cost + near && a->packets < b->packets);
}

thaw_status thaw_packets_choose(const thaw_packet *sizes, int n, double need_kg, int out[THAW_SUPPLIES_PACKETS],
                                thaw_error *err)
{
    const double steps = ceil(need_kg / STEP_KG - 1e-6);
    if (!(steps >= 0.0 && steps < MOST_STEPS)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "so much powder is not sold in packets");
    }
    const int need = (int)steps;
    bool priced = true;
    int step[THAW_SUPPLIES_PACKETS];
    for (int p = 0; p < n; p++) {
        priced = priced && !isnan(sizes[p].price);
        step[p] = (int)fmax(1.0, fmin(MOST_STEPS, floor(sizes[p].mass_kg / STEP_KG + 1e-6)));
    }
    way *best = thaw_allocate((size_t)need + 1, sizeof *best, err);
    if (!best) {
        return THAW_ERR_MEMORY;
    }
    best[0] = (way){0.0, 0, -1};
    for (int i = 1; i <= need; i++) {
        for (int p = 0; p < n; p++) {
            const way *rest = &best[step[p] < i ? i - step[p] : 0];
            const way now = {rest->cost + (priced ? sizes[p].price : sizes[p].mass_kg), rest->packets + 1, p};
            if (p == 0 || is_better(&now, &best[i])) {
                best[i] = now;
            }
        }
    }
    memset(out, 0, THAW_SUPPLIES_PACKETS * sizeof *out);
    for (int i = need; i > 0; i = step[best[i].last] < i ? i - step[best[i].last] : 0) {
        out[best[i].last]++;
    }
    thaw_release(best);
    return THAW_OK;
}
