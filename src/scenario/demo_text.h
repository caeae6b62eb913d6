/* The demo scenario file, compiled in. */
#ifndef THAW_SCENARIO_DEMO_TEXT_H
#define THAW_SCENARIO_DEMO_TEXT_H

extern const char thaw_demo_text[];

#endif
