#include "scenario/own_measured.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "data/cloths.h"
#include "scenario/shelf.h"

#define DIGITS 4

static double *figure_of(thaw_measured_cloth *m, int figure)
{
    switch (figure) {
    case THAW_CLOTH_CONDUCTIVITY:
        return &m->conductivity_m_s;
    case THAW_CLOTH_CONDUCTIVITY_SPREAD:
        return &m->conductivity_spread;
    case THAW_CLOTH_ENTRY_HEAD:
        return &m->entry_head_m;
    case THAW_CLOTH_ENTRY_LOW:
        return &m->entry_low;
    case THAW_CLOTH_ENTRY_HIGH:
        return &m->entry_high;
    default:
        return NULL;
    }
}

thaw_status thaw_measured_check_name(const char *name, thaw_error *err)
{
    bool plain = (*name >= 'a' && *name <= 'z') || (*name >= 'A' && *name <= 'Z') || (unsigned char)*name >= 0x80;
    for (const char *at = name; *at; at++) {
        plain = plain && ((*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (unsigned char)*at >= 0x80 ||
                          (*at >= '0' && *at <= '9') || *at == ' ' || *at == '-');
    }
    const size_t n = strlen(name);
    if (!plain || n >= THAW_OWN_NAME || name[n - 1] == ' ' || strcmp(name, "none") == 0) {
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "--name `%.60s`: a name begins with a letter and has letters, digits, spaces and hyphens, %d bytes at most",
                         name, THAW_OWN_NAME - 1);
    }
    if (thaw_cloths_find(name)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "--name `%.60s`: that one is taken by the table, see `thawprint list cloths`", name);
    }
    return THAW_OK;
}

bool thaw_measured_fit(thaw_measured_cloth *measured, const thaw_cloth_kind *like)
{
    bool fits = true;
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        double *figure = figure_of(measured, f);
        if (figure) {
            const thaw_figure_row *row = thaw_cloth_row((thaw_cloth_figure)f);
            const double lowest = f == THAW_CLOTH_ENTRY_HEAD ? thaw_cloth_least_head_m(like->lambda, row->lowest) : row->lowest;
            const double within = fmin(row->highest, fmax(lowest, *figure));
            fits = fits && within == *figure;
            *figure = within;
        }
    }
    return fits;
}

void thaw_measured_write(thaw_writer *w, const char *name, const thaw_cloth_kind *like, bool is_own,
                         const thaw_measured_cloth *measured)
{
    thaw_measured_cloth copy = *measured;
    thaw_writer_add(w, "own-cloths:\n  - name: %s\n", name);
    if (is_own) {
        thaw_writer_add(w, "    fibre: %s\n", like->fibre);
    } else {
        thaw_writer_add(w, "    like: %s\n", like->name);
    }
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        const thaw_figure_row *row = thaw_cloth_row((thaw_cloth_figure)f);
        const double *figure = figure_of(&copy, f);
        const double value = (figure ? *figure : thaw_figure_value(row, like)) / row->per_unit;
        if (figure || is_own) {
            thaw_writer_add(w, "    %s: %.*g%s%s\n", row->key, figure ? DIGITS : 9, value, row->unit[0] ? " " : "", row->unit);
        }
    }
}
