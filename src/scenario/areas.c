#include "scenario/areas.h"

#include <stdio.h>
#include <string.h>

#define THIRD (1.0 / 3.0)

static const struct named_area {
    thaw_area area;
    const char *remark;
} AREAS[] = {
    {{"all", THAW_AREA_BOX, 0.0, 0.0, 1.0, 1.0, 0.0}, "the whole bundle"},
    {{"left half", THAW_AREA_BOX, 0.0, 0.0, 0.5, 1.0, 0.0}, "seen from above"},
    {{"right half", THAW_AREA_BOX, 0.5, 0.0, 1.0, 1.0, 0.0}, "seen from above"},
    {{"top half", THAW_AREA_BOX, 0.0, 0.0, 1.0, 0.5, 0.0}, "the half away from you"},
    {{"bottom half", THAW_AREA_BOX, 0.0, 0.5, 1.0, 1.0, 0.0}, "the half next to you"},
    {{"left third", THAW_AREA_BOX, 0.0, 0.0, THIRD, 1.0, 0.0}, "left of three columns"},
    {{"middle third", THAW_AREA_BOX, THIRD, 0.0, 2.0 * THIRD, 1.0, 0.0}, "middle of three columns"},
    {{"right third", THAW_AREA_BOX, 2.0 * THIRD, 0.0, 1.0, 1.0, 0.0}, "right of three columns"},
    {{"top third", THAW_AREA_BOX, 0.0, 0.0, 1.0, THIRD, 0.0}, "farthest of three rows"},
    {{"centre third", THAW_AREA_BOX, 0.0, THIRD, 1.0, 2.0 * THIRD, 0.0}, "middle of three rows"},
    {{"bottom third", THAW_AREA_BOX, 0.0, 2.0 * THIRD, 1.0, 1.0, 0.0}, "nearest of three rows"},
    {{"top left quarter", THAW_AREA_BOX, 0.0, 0.0, 0.5, 0.5, 0.0}, "half as wide and as long"},
    {{"top right quarter", THAW_AREA_BOX, 0.5, 0.0, 1.0, 0.5, 0.0}, "half as wide and as long"},
    {{"bottom left quarter", THAW_AREA_BOX, 0.0, 0.5, 0.5, 1.0, 0.0}, "half as wide and as long"},
    {{"bottom right quarter", THAW_AREA_BOX, 0.5, 0.5, 1.0, 1.0, 0.0}, "half as wide and as long"},
    {{"centre", THAW_AREA_DISC, 0.25, 0.25, 0.75, 0.75, 0.0}, "a disc half as wide and as long"},
    {{"ring", THAW_AREA_RING, 0.0, 0.0, 1.0, 1.0, 0.5}, "round the centre, out to the edges"},
};

#define N_AREAS ((int)(sizeof AREAS / sizeof AREAS[0]))

int thaw_areas_count(void)
{
    return N_AREAS;
}

const char *thaw_areas_name(int i)
{
    return i >= 0 && i < N_AREAS ? AREAS[i].area.name : NULL;
}

const char *thaw_areas_remark(int i)
{
    return i >= 0 && i < N_AREAS ? AREAS[i].remark : NULL;
}

thaw_area thaw_areas_all(void)
{
    return AREAS[0].area;
}

/* Exactly n shares; false and a fault otherwise. */
static bool read_shares(const thaw_reader *reader, const yaml_node_t *node, const thaw_rule *rule,
                        int n, double *shares)
{
    yaml_node_t *items[4];
    int got = thaw_reader_list(reader, node, rule->name, n, items);
    if (got != n) {
        thaw_faults_add(
            reader->faults, thaw_reader_place(node),
            n == 4 ? "write `[left, top, right, bottom]`, such as `[10 %, 0 %, 50 %, 100 %]`"
                   : "write `[across, down, radius]`, such as `[50 %, 50 %, 20 %]`",
            "%s: %d shares are wanted here", rule->name, n);
        return false;
    }
    bool fine = true;
    for (int i = 0; i < n; i++) {
        fine = thaw_reader_quantity(reader, items[i], rule, &shares[i]) && fine;
    }
    return fine;
}

static bool read_box(const thaw_reader *reader, const yaml_node_t *node, const thaw_rule *rule,
                     thaw_area_shape shape, thaw_area *area)
{
    double at[4];
    if (!read_shares(reader, node, rule, 4, at)) {
        return false;
    }
    if (at[0] >= at[2] || at[1] >= at[3]) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "left must be below right, and top below bottom", "%s: the area is empty",
                        rule->name);
        return false;
    }
    *area = (thaw_area){"", shape, at[0], at[1], at[2], at[3], 0.0};
    strcpy(area->name, shape == THAW_AREA_BOX ? "box" : "oval");
    return true;
}

static bool read_disc(const thaw_reader *reader, const yaml_node_t *node, const thaw_rule *rule,
                      thaw_area *area)
{
    double at[3];
    if (!read_shares(reader, node, rule, 3, at)) {
        return false;
    }
    if (at[2] <= 0.0) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "write a radius above 0 %",
                        "%s: the disc has no radius", rule->name);
        return false;
    }
    *area = (thaw_area){
        "oval", THAW_AREA_DISC, at[0] - at[2], at[1] - at[2], at[0] + at[2], at[1] + at[2], 0.0};
    return true;
}

static bool read_shape(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                       thaw_area *area)
{
    static const char *const keys[] = {"box", "disc", "oval"};
    yaml_node_t *values[3];
    if (!thaw_reader_map(reader, node, where, keys, 3, values)) {
        return false;
    }
    if (!!values[0] + !!values[1] + !!values[2] != 1) {
        thaw_faults_add(reader->faults, thaw_reader_place(node),
                        "write one of `box`, `disc`, `oval`, or the name of an area",
                        "%s: one shape is wanted here", where);
        return false;
    }
    thaw_rule inside = {where, THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"};
    thaw_rule around = {where, THAW_SHARE, -1.0, 2.0, false, "-100 % to 200 %"};
    return values[0]   ? read_box(reader, values[0], &inside, THAW_AREA_BOX, area)
           : values[1] ? read_disc(reader, values[1], &inside, area)
                       : read_box(reader, values[2], &around, THAW_AREA_DISC, area);
}

bool thaw_areas_read(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     thaw_area *area)
{
    const char *names[N_AREAS];
    if (!node) {
        return false;
    }
    if (node->type == YAML_MAPPING_NODE) {
        return read_shape(reader, node, where, area);
    }
    for (int i = 0; i < N_AREAS; i++) {
        names[i] = AREAS[i].area.name;
    }
    int found = thaw_reader_word(reader, node, where, names, N_AREAS);
    if (found >= 0) {
        *area = AREAS[found].area;
    }
    return found >= 0;
}

typedef void share_writer(const thaw_units *, thaw_quantity, double, char *, size_t);

static void write_area(const thaw_units *units, const thaw_area *area, share_writer *write_share,
                       char *out, size_t size)
{
    const double at[4] = {area->x0, area->y0, area->x1, area->y1};
    char share[4][48];
    if (strcmp(area->name, "box") != 0 && strcmp(area->name, "oval") != 0) {
        snprintf(out, size, "%s", area->name);
        return;
    }
    for (int i = 0; i < 4; i++) {
        write_share(units, THAW_SHARE, at[i], share[i], sizeof share[i]);
    }
    snprintf(out, size, "{ %s: [%s, %s, %s, %s] }", area->name, share[0], share[1], share[2],
             share[3]);
}

void thaw_areas_print(const thaw_units *units, const thaw_area *area, char *out, size_t size)
{
    write_area(units, area, thaw_quantity_print, out, size);
}

void thaw_areas_show(const thaw_units *units, const thaw_area *area, char *out, size_t size)
{
    write_area(units, area, thaw_quantity_show, out, size);
}
