#include "study/kitchen_fit.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "scenario/kitchen.h"
#include "study/unknowns.h"

#define Z90     1.2815515655446004 /* standard normal quantile of 90 % */
#define GOLDEN  0.6180339887498949
#define SPLITS  60
#define ROUNDS  60
#define RESTED  1e-7
#define BEND    0.2                /* step over which curvature is taken: over several kinks of the lessons' lines */
#define LEAST_CLIMB_M 0.01
#define MOST    (1 + THAW_FIT_CLOTHS)
#define HEAT_NAME "exchange of heat with the room"

typedef struct problem {
    const thaw_lesson *lessons;
    int n, left_out, n_params;     /* parameter 0 is heat, 1 + c cloth c */
    double prior[MOST], x[MOST];
} problem;

double thaw_kitchen_prior_heat(void)
{
    for (int i = 0; i < thaw_unknowns_count(); i++) {
        const char *name;
        double p90;
        bool is_factor;
        thaw_unknowns_at(i, &name, &p90, &is_factor);
        if (strcmp(name, HEAT_NAME) == 0) {
            return log(p90) / Z90;
        }
    }
    return NAN; /* the table has such a row */
}

static double cost(const problem *p)
{
    double sum = 0.0;
    for (int i = 0; i < p->n_params; i++) {
        sum += pow(p->x[i] / p->prior[i], 2.0);
    }
    for (int i = 0; i < p->n; i++) {
        const thaw_lesson *l = &p->lessons[i];
        const double heat = p->x[0], cloth = p->x[1 + l->cloth];
        if (i == p->left_out) {
            continue;
        }
        if (thaw_lesson_tells_heat(l)) {
            sum += pow(log(l->melted_s / thaw_lesson_melt_s(l, heat, cloth)) / THAW_FACT_MELT, 2.0);
        }
        if (thaw_lesson_tells_cloth(l)) {
            const double ratio = (l->climb_m + LEAST_CLIMB_M) / (thaw_lesson_climb_m(l, heat, cloth) + LEAST_CLIMB_M);
            sum += pow(log(ratio) / THAW_FACT_CLIMB, 2.0);
        }
    }
    return sum;
}

static double cost_with(problem *p, int i, double x)
{
    const double kept = p->x[i];
    p->x[i] = x;
    const double value = cost(p);
    p->x[i] = kept;
    return value;
}

static double low_of(int i)
{
    return log(i == 0 ? THAW_KITCHEN_HEAT_LEAST : THAW_KITCHEN_CLOTH_LEAST);
}

static double high_of(int i)
{
    return log(i == 0 ? THAW_KITCHEN_HEAT_MOST : THAW_KITCHEN_CLOTH_MOST);
}

/* Least cost along one parameter, by golden section. */
static double best_along(problem *p, int i)
{
    double low = low_of(i), high = high_of(i);
    double a = high - GOLDEN * (high - low), b = low + GOLDEN * (high - low);
    double at_a = cost_with(p, i, a), at_b = cost_with(p, i, b);
    for (int s = 0; s < SPLITS; s++) {
        if (at_a < at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - GOLDEN * (high - low);
            at_a = cost_with(p, i, a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + GOLDEN * (high - low);
            at_b = cost_with(p, i, b);
        }
    }
    return 0.5 * (low + high);
}

/* One parameter after the other: they hang together little, since only climb knows of both. */
static void descend(problem *p)
{
    for (int round = 0; round < ROUNDS; round++) {
        double moved = 0.0;
        for (int i = 0; i < p->n_params; i++) {
            const double x = best_along(p, i);
            moved = fmax(moved, fabs(x - p->x[i]));
            p->x[i] = x;
        }
        if (moved < RESTED) {
            return;
        }
    }
}

static double mixed(problem *p, int i, int k)
{
    const double xi = p->x[i], xk = p->x[k];
    double sum = 0.0;
    for (int q = 0; q < 4; q++) {
        p->x[i] = xi + (q % 2 ? BEND : -BEND);
        sum += (q % 2 == q / 2 ? 1.0 : -1.0) * cost_with(p, k, xk + (q / 2 ? BEND : -BEND));
        p->x[i] = xi;
    }
    return sum / (4.0 * BEND * BEND);
}

/* Standard deviations about the least cost: twice the inverse of its second derivatives. Only heat (0) is tied to the
 * others, so the matrix is an arrow and its inverse short. */
static void find_errors(problem *p, double *errors)
{
    const double here = cost(p);
    double own[MOST] = {0.0}, tied[MOST] = {0.0};
    for (int i = 0; i < p->n_params; i++) {
        own[i] = (cost_with(p, i, p->x[i] + BEND) - 2.0 * here + cost_with(p, i, p->x[i] - BEND)) / (BEND * BEND);
        own[i] = fmax(own[i], 2.0 / (p->prior[i] * p->prior[i])); /* facts never make less sure */
        tied[i] = i > 0 ? mixed(p, 0, i) : 0.0;
    }
    double shared = own[0];
    for (int i = 1; i < p->n_params; i++) {
        shared -= tied[i] * tied[i] / own[i];
    }
    shared = fmax(shared, 2.0 / (p->prior[0] * p->prior[0]));
    errors[0] = sqrt(2.0 / shared);
    for (int i = 1; i < p->n_params; i++) {
        const double by_heat = tied[i] / own[i];
        errors[i] = fmin(p->prior[i], sqrt(2.0 / own[i] + by_heat * by_heat * 2.0 / shared));
    }
}

void thaw_kitchen_fit_find(const thaw_lesson *lessons, int n, int left_out, int n_cloths, const double *prior_cloth,
                           thaw_kitchen_fit *out)
{
    problem p = {.lessons = lessons, .n = n, .left_out = left_out, .n_params = 1 + n_cloths};
    double errors[MOST];
    p.prior[0] = thaw_kitchen_prior_heat();
    for (int c = 0; c < n_cloths; c++) {
        p.prior[1 + c] = prior_cloth[c];
    }
    descend(&p);
    find_errors(&p, errors);
    *out = (thaw_kitchen_fit){.heat_ln = p.x[0], .heat_error = errors[0], .n_cloths = n_cloths};
    for (int c = 0; c < n_cloths; c++) {
        out->cloth_ln[c] = p.x[1 + c];
        out->cloth_error[c] = errors[1 + c];
    }
}
