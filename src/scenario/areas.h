/* Places on the bundle, by name or as shapes. */
#ifndef THAW_SCENARIO_AREAS_H
#define THAW_SCENARIO_AREAS_H

#include "model/specification.h"
#include "scenario/reader.h"

int thaw_areas_count(void);
const char *thaw_areas_name(int i);
const char *thaw_areas_remark(int i);
/* The whole bundle. */
thaw_area thaw_areas_all(void);

/* True and *area set if the node is there and fits. */
bool thaw_areas_read(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                     thaw_area *area);
/* YAML that reads to exactly the same area. */
void thaw_areas_print(const thaw_units *units, const thaw_area *area, char *out, size_t size);
/* The same for people, rounded. */
void thaw_areas_show(const thaw_units *units, const thaw_area *area, char *out, size_t size);

#endif
