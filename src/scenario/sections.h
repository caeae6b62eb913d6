/* One function for each part of a scenario file. A missing part (node NULL) leaves the defaults;
 * what does not fit becomes a fault and leaves its default too. */
#ifndef THAW_SCENARIO_SECTIONS_H
#define THAW_SCENARIO_SECTIONS_H

#include "scenario/reader.h"
#include "scenario/scenario.h"
#include "scenario/writer.h"

/* Before the cloth, whose width and length it sets. */
void thaw_section_garment(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
/* As it is read again to the last bit; nothing for plain cloth. */
void thaw_section_garment_write(thaw_writer *w, const thaw_units *units, const thaw_garment *garment);
/* `whole` is the place of the file's first key, for what is missing. Returns the place of the
 * width, where too large a cloth is reported. */
thaw_place thaw_section_cloth(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                              thaw_scenario *scenario);
/* After the cloth: the usual pick-up is the cloth's. */
void thaw_section_prepare(const thaw_reader *reader, const yaml_node_t *node,
                          thaw_scenario *scenario);
/* After the cloth: what hangs is a part of its length. */
void thaw_section_hang(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
/* After the cloth and what hangs: pleats are checked against the size of what is folded. */
void thaw_section_fold(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
void thaw_section_ice(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                      thaw_scenario *scenario);
void thaw_section_dye(const thaw_reader *reader, const yaml_node_t *node, thaw_place whole,
                      thaw_scenario *scenario);
/* Soda ash sprinkled as powder. */
void thaw_section_soda(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
void thaw_section_set_up(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
void thaw_section_room(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
void thaw_section_leave(const thaw_reader *reader, const yaml_node_t *node,
                        thaw_scenario *scenario);
void thaw_section_seed(const thaw_reader *reader, const yaml_node_t *node, thaw_scenario *scenario);
void thaw_section_detail(const thaw_reader *reader, const yaml_node_t *node,
                         thaw_scenario *scenario);
void thaw_section_title(const thaw_reader *reader, const yaml_node_t *node,
                        thaw_scenario *scenario);

const char *thaw_stand_word(thaw_stand stand);
int thaw_stands_count(void);
const char *thaw_stands_remark(int i);

int thaw_folds_count(void);
const char *thaw_folds_name(int i);
const char *thaw_folds_remark(int i);

#endif
