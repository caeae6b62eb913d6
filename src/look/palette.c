#include "look/palette.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"
#include "base/random.h"
#include "look/colour.h"

#define BOX        4.0 /* L*a*b* units */
#define L_BOXES    26  /* 0 .. 104 */
#define AB_BOXES   64  /* -128 .. 128 */
#define MAX_ROUNDS 100
#define STARTS     24
#define K          THAW_PALETTE

/* A box that holds colours: how many, and their mean. */
typedef struct point {
    double weight, lab[3];
    int owner;
} point;

static int box_index(double value, double low, int n)
{
    int i = (int)floor((value - low) / BOX);
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

/* Returns the number of boxes in use, packed to the front. */
static size_t fill_boxes(const double *lab, size_t n, point *boxes)
{
    size_t n_boxes = (size_t)L_BOXES * AB_BOXES * AB_BOXES, used = 0;
    for (size_t k = 0; k < n; k++) {
        double at[3] = {lab[k], lab[n + k], lab[2 * n + k]};
        int l = box_index(at[0], 0.0, L_BOXES);
        int a = box_index(at[1], -128.0, AB_BOXES), b = box_index(at[2], -128.0, AB_BOXES);
        point *box = &boxes[((size_t)l * AB_BOXES + (size_t)a) * AB_BOXES + (size_t)b];
        box->weight += 1.0;
        for (int c = 0; c < 3; c++) {
            box->lab[c] += at[c];
        }
    }
    for (size_t i = 0; i < n_boxes; i++) {
        if (boxes[i].weight > 0.0) {
            point p = boxes[i];
            for (int c = 0; c < 3; c++) {
                p.lab[c] /= p.weight;
            }
            boxes[used++] = p;
        }
    }
    return used;
}

static double distance2(const double a[3], const double b[3])
{
    double sum = 0.0;
    for (int c = 0; c < 3; c++) {
        sum += (a[c] - b[c]) * (a[c] - b[c]);
    }
    return sum;
}

static double nearest(const double at[3], double centres[][3], int n, int *owner)
{
    double best = INFINITY;
    for (int c = 0; c < n; c++) {
        double d = distance2(at, centres[c]);
        if (d < best) {
            best = d;
            *owner = c;
        }
    }
    return best;
}

/* Chance of a point to become the next centre: its share times its squared distance to the nearest one. */
static double pull(const point *p, double centres[K][3], int n_centres)
{
    int owner;
    return p->weight * (n_centres ? nearest(p->lab, centres, n_centres, &owner) : 1.0);
}

/* The first start takes the point of the largest pull, each other one draws (k-means++). */
static int seed_centres(const point *points, size_t n, int start, double centres[K][3])
{
    int n_centres = 0;
    while (n_centres < K) {
        size_t chosen = n;
        double most = 0.0, total = 0.0;
        for (size_t i = 0; i < n; i++) {
            total += pull(&points[i], centres, n_centres);
        }
        double left = total * thaw_random_uniform((uint64_t)start, THAW_STREAM_PALETTE, (uint64_t)n_centres);
        for (size_t i = 0; i < n && (start == 0 || left > 0.0); i++) {
            const double own = pull(&points[i], centres, n_centres);
            left -= own;
            if (own > 0.0 && (start > 0 || own > most)) {
                most = own;
                chosen = i;
            }
        }
        if (chosen == n) {
            break;
        }
        memcpy(centres[n_centres++], points[chosen].lab, sizeof centres[0]);
    }
    return n_centres;
}

/* One round of k-means; false when nothing changed owner. */
static bool move_centres(point *points, size_t n, int n_centres, double centres[K][3],
                         double weights[K])
{
    bool moved = false;
    double sums[K][3] = {{0.0}};
    memset(weights, 0, K * sizeof *weights);
    for (size_t i = 0; i < n; i++) {
        int owner = 0;
        nearest(points[i].lab, centres, n_centres, &owner);
        moved = moved || owner != points[i].owner;
        points[i].owner = owner;
        weights[owner] += points[i].weight;
        for (int c = 0; c < 3; c++) {
            sums[owner][c] += points[i].weight * points[i].lab[c];
        }
    }
    for (int k = 0; k < n_centres; k++) {
        for (int c = 0; c < 3 && weights[k] > 0.0; c++) {
            centres[k][c] = sums[k][c] / weights[k];
        }
    }
    return moved;
}

static void report(int n_centres, double centres[K][3], double weights[K], double total,
                   thaw_look_figures *out)
{
    for (int place = 0; place < K; place++) {
        int best = 0;
        for (int k = 1; k < n_centres; k++) {
            best = weights[k] > weights[best] ? k : best;
        }
        bool spare = weights[best] <= 0.0;
        memcpy(out->palette[place].lab, spare ? out->palette[0].lab : centres[best],
               sizeof centres[0]);
        out->palette[place].share = spare ? 0.0 : weights[best] / total;
        thaw_colour_lab_bytes(out->palette[place].lab, out->palette[place].rgb);
        weights[best] = 0.0;
    }
}

/* k-means from one start; returns the sum of squared distances that is left. */
static double settle(point *points, size_t n, int start, double centres[K][3], double weights[K], int *n_centres)
{
    double sum = 0.0;
    int owner;
    *n_centres = seed_centres(points, n, start, centres);
    for (size_t i = 0; i < n; i++) {
        points[i].owner = -1;
    }
    for (int round = 0; round < MAX_ROUNDS && move_centres(points, n, *n_centres, centres, weights); round++) {
    }
    for (size_t i = 0; i < n; i++) {
        sum += points[i].weight * nearest(points[i].lab, centres, *n_centres, &owner);
    }
    return sum;
}

thaw_status thaw_palette_find(const double *lab, size_t n, thaw_look_figures *out, thaw_error *err)
{
    point *points = thaw_allocate((size_t)L_BOXES * AB_BOXES * AB_BOXES, sizeof *points, err);
    if (!points) {
        return THAW_ERR_MEMORY;
    }
    double centres[K][3] = {{0.0}}, weights[K] = {0.0}, least = INFINITY;
    const size_t used = fill_boxes(lab, n, points);
    for (int start = 0; start < STARTS; start++) {
        double at[K][3] = {{0.0}}, shares[K] = {0.0};
        int n_centres;
        const double sum = settle(points, used, start, at, shares, &n_centres);
        if (sum < least) {
            least = sum;
            memcpy(centres, at, sizeof centres);
            memcpy(weights, shares, sizeof weights);
        }
    }
    report(K, centres, weights, (double)n, out);
    thaw_release(points);
    return THAW_OK;
}
