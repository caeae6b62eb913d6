/* The parts of a file that hold one's own cloths, dyes and colours: reading, and writing back what a scenario uses. */
#ifndef THAW_SCENARIO_OWN_H
#define THAW_SCENARIO_OWN_H

#include "data/figure_row.h"
#include "scenario/reader.h"
#include "scenario/scenario.h"
#include "scenario/writer.h"

#define THAW_OWN_SECTIONS 4 /* own-cloths, own-dyes, own-colours, kitchen, in this order */

/* `values[i]` is the node of section i, NULL where missing. Begins a new file on the shelf. */
void thaw_own_read(const thaw_reader *reader, yaml_node_t *const *values, thaw_shelf *shelf);
/* Text of a file with nothing but these sections. */
thaw_status thaw_own_parse(const char *text, size_t n, const char *path, thaw_shelf *shelf, thaw_error *err);
/* The dyes of the shelf into the specification. */
void thaw_own_list(const thaw_shelf *shelf, thaw_specification *spec);

void thaw_own_read_cloths(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf);
void thaw_own_read_dyes(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf);
void thaw_own_read_colours(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf);

/* `colour: { blue: 2, violet: 1 }`; NULL with a fault where it does not fit. */
const thaw_colour *thaw_own_mix(const thaw_reader *reader, const yaml_node_t *node, const char *where,
                                thaw_shelf *shelf, thaw_own_colour *mixed);
/* `fibres: { cotton: 60 %, polyester: 40 % }` of a make of cloth; NULL with a fault where it does not fit. */
const thaw_cloth_kind *thaw_own_blend(const thaw_reader *reader, const yaml_node_t *node, const thaw_cloth_kind *make,
                                      thaw_blend *blend);

/* Shared by the readers of entries. A name of letters, digits, spaces, hyphens that no row of a table has. */
bool thaw_own_name(const thaw_reader *reader, const yaml_node_t *node, const char *where, const char *table_name,
                   char out[THAW_OWN_NAME]);
bool thaw_own_figure(const thaw_reader *reader, const yaml_node_t *node, const char *where, const thaw_figure_row *row,
                     void *thing);
bool thaw_own_number(const thaw_reader *reader, const yaml_node_t *node, const char *where, double lowest,
                     double highest, const char *allowed, double *value);
/* An entry that is given twice in one file, or one too many. Returns the index to write it to, -1 with a fault. */
int thaw_own_place(const thaw_reader *reader, const yaml_node_t *node, const char *name, int found, int file_of_found,
                   int file, int *n, int most);

/* What the scenario uses of its shelf, as the sections above; and the colour or cloth of a zone. */
void thaw_own_write(thaw_writer *w, const thaw_scenario *scenario);
void thaw_own_write_colour(thaw_writer *w, const thaw_scenario *scenario, const thaw_colour *colour);
void thaw_own_write_kind(thaw_writer *w, const thaw_scenario *scenario);

#endif
