/* Forward Euler at its stability limit, looked up anew in each step. */
#include <stdlib.h>
#include <string.h>

#include "sheet_problem.h"

static double largest(size_t n, const double *a)
{
    double most = 0.0;
#pragma omp parallel for schedule(static) reduction(max : most)
    for (size_t k = 0; k < n; k++) {
        most = a[k] > most ? a[k] : most;
    }
    return most;
}

int sheet_by_explicit(const sheet *p, long most_steps, double *share_done, sheet_result *out)
{
    const size_t n = p->cells;
    double *y = calloc(3 * n, sizeof *y), *dy = calloc(3 * n, sizeof *dy), t = 0.0;
    if (!y || !dy) {
        free(y);
        free(dy);
        return 0;
    }
    for (size_t k = 0; k < n; k++) {
        y[k] = SHEET_START;
    }
    out->steps = 0;
    while (t < SHEET_END_S - 1e-9 && out->steps < most_steps) {
        double until;
        const double rate = sheet_rate(p, t, &until), s = largest(n, y);
        double dt = p->dx_m * p->dx_m / (4.0 * SHEET_D1_M2_S * s * s * s);
        dt = t + dt > until ? until - t : dt;
        sheet_rhs(p, rate, y, dy);
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < 3 * n; k++) {
            y[k] += dt * dy[k];
        }
        t += dt;
        out->steps++;
    }
    *share_done = t / SHEET_END_S;
    out->work = out->steps;
    sheet_books(p, y, y + n, y + 2 * n, out);
    memcpy(out->fixed, y + 2 * n, n * sizeof(double));
    free(y);
    free(dy);
    return 1;
}
