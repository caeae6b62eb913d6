#include "scenario/areas.h"

#include <stdio.h>
#include <string.h>

#include "scenario/area_shapes.h"

#define THIRD (1.0 / 3.0)
#define AREA(called, kind, left, top, right, bottom, inside)                                                         \
    {.name = called, .shape = (kind), .x0 = (left), .y0 = (top), .x1 = (right), .y1 = (bottom), .inner = (inside)}

static const struct named_area {
    thaw_area area;
    const char *remark;
} AREAS[] = {
    {AREA("all", THAW_AREA_BOX, 0.0, 0.0, 1.0, 1.0, 0.0), "the whole bundle"},
    {AREA("left half", THAW_AREA_BOX, 0.0, 0.0, 0.5, 1.0, 0.0), "seen from above"},
    {AREA("right half", THAW_AREA_BOX, 0.5, 0.0, 1.0, 1.0, 0.0), "seen from above"},
    {AREA("top half", THAW_AREA_BOX, 0.0, 0.0, 1.0, 0.5, 0.0), "the half away from you"},
    {AREA("bottom half", THAW_AREA_BOX, 0.0, 0.5, 1.0, 1.0, 0.0), "the half next to you"},
    {AREA("left third", THAW_AREA_BOX, 0.0, 0.0, THIRD, 1.0, 0.0), "left of three columns"},
    {AREA("middle third", THAW_AREA_BOX, THIRD, 0.0, 2.0 * THIRD, 1.0, 0.0), "middle of three columns"},
    {AREA("right third", THAW_AREA_BOX, 2.0 * THIRD, 0.0, 1.0, 1.0, 0.0), "right of three columns"},
    {AREA("top third", THAW_AREA_BOX, 0.0, 0.0, 1.0, THIRD, 0.0), "farthest of three rows"},
    {AREA("centre third", THAW_AREA_BOX, 0.0, THIRD, 1.0, 2.0 * THIRD, 0.0), "middle of three rows"},
    {AREA("bottom third", THAW_AREA_BOX, 0.0, 2.0 * THIRD, 1.0, 1.0, 0.0), "nearest of three rows"},
    {AREA("top left quarter", THAW_AREA_BOX, 0.0, 0.0, 0.5, 0.5, 0.0), "half as wide and as long"},
    {AREA("top right quarter", THAW_AREA_BOX, 0.5, 0.0, 1.0, 0.5, 0.0), "half as wide and as long"},
    {AREA("bottom left quarter", THAW_AREA_BOX, 0.0, 0.5, 0.5, 1.0, 0.0), "half as wide and as long"},
    {AREA("bottom right quarter", THAW_AREA_BOX, 0.5, 0.5, 1.0, 1.0, 0.0), "half as wide and as long"},
    {AREA("centre", THAW_AREA_DISC, 0.25, 0.25, 0.75, 0.75, 0.0), "a disc half as wide and as long"},
    {AREA("ring", THAW_AREA_RING, 0.0, 0.0, 1.0, 1.0, 0.5), "round the centre, out to the edges"},
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

bool thaw_areas_read(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     thaw_area *area)
{
    const char *names[N_AREAS];
    if (!node) {
        return false;
    }
    if (node->type == YAML_MAPPING_NODE) {
        return thaw_shapes_read(reader, node, where, area);
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

static void write_area(const thaw_units *units, const thaw_area *area, thaw_value_writer *write_value,
                       char *out, size_t size)
{
    if (!thaw_shapes_write(units, area, write_value, out, size)) {
        snprintf(out, size, "%s", area->name);
    }
}

void thaw_areas_print(const thaw_units *units, const thaw_area *area, char *out, size_t size)
{
    write_area(units, area, thaw_quantity_print, out, size);
}

void thaw_areas_show(const thaw_units *units, const thaw_area *area, char *out, size_t size)
{
    write_area(units, area, thaw_quantity_show, out, size);
}
