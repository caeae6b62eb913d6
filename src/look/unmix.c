#include "look/unmix.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "data/observer.h"
#include "look/kubelka.h"

#define CHUNK      THAW_KUBELKA_CHUNK
#define DYES       THAW_UNMIX_DYES
#define ROUNDS     40
#define START      0.3             /* of each dye, in amounts that make K/S 1 where it absorbs most */
#define STEP_SHARE 0.01            /* of finite differences */
#define STEP_LEAST 1e-3            /* in the same amounts */

/* A row of cells in work. */
typedef struct batch {
    const thaw_kubelka *kubelka;
    double unit[DYES];             /* kg/m2 that make K/S 1 */
    int n, n_dyes;
    double goal[3][CHUNK];         /* L*, a*, b* that were seen */
    double amount[DYES][CHUNK], damping[CHUNK], cost[CHUNK];
    double slope[DYES][3][CHUNK], off[3][CHUNK];
} batch;

static double lab_curve(double t)
{
    const double edge = 6.0 / 29.0;
    return t > edge * edge * edge ? cbrt(t) : t / (3.0 * edge * edge) + 4.0 / 29.0;
}

/* CIE 1976; here because rounding to what a colour library returns would spoil differences. */
static void to_lab(double xyz[3][CHUNK], int n, double lab[3][CHUNK])
{
    for (int p = 0; p < n; p++) {
        const double fx = lab_curve(xyz[0][p] / THAW_D65_X), fy = lab_curve(xyz[1][p] / THAW_D65_Y), fz = lab_curve(xyz[2][p] / THAW_D65_Z);
        lab[0][p] = 116.0 * fy - 16.0;
        lab[1][p] = 500.0 * (fx - fy);
        lab[2][p] = 200.0 * (fy - fz);
    }
}

static void look(const batch *b, double amount[][CHUNK], double lab[3][CHUNK])
{
    double xyz[3][CHUNK];
    thaw_kubelka_xyz(b->kubelka, b->n, amount, NULL, xyz);
    to_lab(xyz, b->n, lab);
}

static double step_of(const batch *b, int d, int p)
{
    return fmax(STEP_SHARE * b->amount[d][p], STEP_LEAST * b->unit[d]);
}

/* Where the cells are off, and how their colours follow each dye. */
static void differentiate(batch *b)
{
    double here[3][CHUNK], there[3][CHUNK], moved[DYES][CHUNK];
    look(b, b->amount, here);
    for (int p = 0; p < b->n; p++) {
        b->cost[p] = 0.0;
        for (int c = 0; c < 3; c++) {
            b->off[c][p] = b->goal[c][p] - here[c][p];
            b->cost[p] += b->off[c][p] * b->off[c][p];
        }
        for (int d = 0; d < b->n_dyes; d++) {
            moved[d][p] = b->amount[d][p];
        }
    }
    for (int d = 0; d < b->n_dyes; d++) {
        for (int p = 0; p < b->n; p++) {
            moved[d][p] = b->amount[d][p] + step_of(b, d, p);
        }
        look(b, moved, there);
        for (int p = 0; p < b->n; p++) {
            for (int c = 0; c < 3; c++) {
                b->slope[d][c][p] = (there[c][p] - here[c][p]) / step_of(b, d, p) * b->unit[d];
            }
            moved[d][p] = b->amount[d][p];
        }
    }
}

/* Damped normal equations for the free dyes of cell p, by elimination; steps in units. */
static void solve(const batch *b, int p, const bool *is_free, double *step)
{
    double a[DYES][DYES + 1] = {{0.0}};
    for (int i = 0; i < b->n_dyes; i++) {
        for (int k = 0; k < b->n_dyes; k++) {
            for (int c = 0; c < 3; c++) {
                a[i][k] += is_free[i] && is_free[k] ? b->slope[i][c][p] * b->slope[k][c][p] : 0.0;
            }
        }
        for (int c = 0; c < 3; c++) {
            a[i][DYES] += is_free[i] ? b->slope[i][c][p] * b->off[c][p] : 0.0;
        }
        a[i][i] = is_free[i] ? a[i][i] * (1.0 + b->damping[p]) + 1e-12 : 1.0;
    }
    for (int i = 0; i < b->n_dyes; i++) { /* positive definite: no pivots */
        for (int r = i + 1; r < b->n_dyes; r++) {
            const double by = a[r][i] / a[i][i];
            for (int k = i; k <= DYES; k++) {
                a[r][k] -= by * a[i][k];
            }
        }
    }
    for (int i = b->n_dyes - 1; i >= 0; i--) {
        step[i] = a[i][DYES];
        for (int k = i + 1; k < b->n_dyes; k++) {
            step[i] -= a[i][k] * step[k];
        }
        step[i] /= a[i][i];
    }
}

/* A dye that is at nothing and would go below stays out, and the others are solved without it. */
static void propose(const batch *b, int p, double *amount)
{
    bool is_free[DYES] = {true, true, true};
    double step[DYES] = {0.0, 0.0, 0.0};
    for (int again = 0; again < b->n_dyes; again++) {
        bool fine = true;
        solve(b, p, is_free, step);
        for (int d = 0; d < b->n_dyes; d++) {
            if (is_free[d] && b->amount[d][p] <= 0.0 && step[d] < 0.0) {
                is_free[d] = fine = false;
            }
        }
        if (fine) {
            break;
        }
    }
    for (int d = 0; d < b->n_dyes; d++) {
        amount[d] = fmax(0.0, b->amount[d][p] + (is_free[d] ? step[d] * b->unit[d] : 0.0));
    }
}

static void improve(batch *b)
{
    double trial[DYES][CHUNK], lab[3][CHUNK];
    differentiate(b);
    for (int p = 0; p < b->n; p++) {
        double amount[DYES];
        propose(b, p, amount);
        for (int d = 0; d < b->n_dyes; d++) {
            trial[d][p] = amount[d];
        }
    }
    look(b, trial, lab);
    for (int p = 0; p < b->n; p++) {
        double cost = 0.0;
        for (int c = 0; c < 3; c++) {
            cost += (b->goal[c][p] - lab[c][p]) * (b->goal[c][p] - lab[c][p]);
        }
        const bool better = cost < b->cost[p];
        b->damping[p] = better ? fmax(1e-6, 0.2 * b->damping[p]) : fmin(1e6, 5.0 * b->damping[p]);
        for (int d = 0; d < b->n_dyes && better; d++) {
            b->amount[d][p] = trial[d][p];
        }
    }
}

/* Cells first .. first + n - 1 of planes of `plane` cells. */
static void unmix_batch(const thaw_kubelka *kubelka, const double *unit, int n_dyes, const double *xyz, size_t plane, size_t first, int n,
                        double *const *amounts)
{
    batch b = {.kubelka = kubelka, .n = n, .n_dyes = n_dyes};
    double seen[3][CHUNK];
    for (int p = 0; p < n; p++) {
        for (size_t c = 0; c < 3; c++) {
            seen[c][p] = xyz[c * plane + first + (size_t)p];
        }
        for (int d = 0; d < n_dyes; d++) {
            b.unit[d] = unit[d];
            b.amount[d][p] = START * unit[d];
        }
        b.damping[p] = 1e-2;
    }
    to_lab(seen, n, b.goal);
    for (int round = 0; round < ROUNDS; round++) {
        improve(&b);
    }
    for (int d = 0; d < n_dyes; d++) {
        for (int p = 0; p < n; p++) {
            amounts[d][first + (size_t)p] = b.amount[d][p];
        }
    }
}

thaw_status thaw_look_unmix(const thaw_print *print, const double *xyz, double *const *amounts, thaw_error *err)
{
    const int n_dyes = print->n_components;
    if (n_dyes < 1 || n_dyes > DYES) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "1 to %d dyes can be told apart by colour, not %d", DYES, n_dyes);
    }
    /* A cell that holds some of each, so that none is left out of the table. */
    const double some = 1.0;
    thaw_print one = *print;
    thaw_kubelka kubelka;
    double unit[DYES] = {0.0};
    one.nx = one.ny = 1;
    for (int d = 0; d < n_dyes; d++) {
        one.fixed_kg_m2[d] = &some;
    }
    thaw_kubelka_prepare(&one, false, &kubelka);
    for (int d = 0; d < n_dyes; d++) {
        double most = 0.0;
        for (int band = 0; band < THAW_OBSERVER_BANDS; band++) {
            most = fmax(most, kubelka.absorb[d][band]);
        }
        unit[d] = 1.0 / most;
    }
    const size_t n = (size_t)print->nx * (size_t)print->ny;
    const int n_batches = (int)((n + CHUNK - 1) / CHUNK);
#pragma omp parallel for schedule(static) default(none) shared(kubelka, unit, n_dyes, xyz, n, amounts, n_batches)
    for (int i = 0; i < n_batches; i++) {
        const size_t first = (size_t)i * CHUNK;
        unmix_batch(&kubelka, unit, n_dyes, xyz, n, first, n - first < CHUNK ? (int)(n - first) : CHUNK, amounts);
    }
    return THAW_OK;
}
