/* What is done and weighed in the workroom, beside the physics: name, value, unit, source. */
#ifndef THAW_DATA_WORKROOM_H
#define THAW_DATA_WORKROOM_H

/* Soda ash, Na2CO3. Molar mass computed from standard atomic weights (22.990, 12.011, 15.999). */
#define THAW_SODA_KG_MOL           0.105988
/* Bulk density: 0.5 (light ash) to 1.1 kg/L (dense), seen in data sheets of soda ash. */
#define THAW_SODA_BULK_LOW_KG_M3   500.0
#define THAW_SODA_BULK_HIGH_KG_M3  1100.0
/* "One cup to the gallon": US customary cup and gallon, by definition. */
#define THAW_CUP_M3                236.588e-6
#define THAW_GALLON_M3             3.785412e-3
/* Soak: 15 to 30 min seen; tied pieces at the long end, silk and viscose no longer. */
#define THAW_SOAK_LEAST_S          900.0
#define THAW_SOAK_MOST_S           1800.0
/* Pick-up, kg per kg: a machine spins to 0.45 to 1.05; firm hands wring to 0.9 to 1.7; from memory. */
#define THAW_SPUN_PICKUP           0.85
#define THAW_WRUNG_PICKUP          1.75
/* Bath to the dry cloth, so that it lies under loosely: common practice, no source. */
#define THAW_BATH_M3_KG            8.0e-3
/* At least so many times what the cloth takes up: estimate. */
#define THAW_BATH_LEAST_TIMES      2.0
/* Baths are measured in steps of this: half a litre. */
#define THAW_BATH_STEP_M3          0.5e-3
/* Wringing, folding, ice and powder, by hand: estimate. */
#define THAW_SET_UP_S              1800.0
/* Cold rinse, hot rinse, until the water runs clear: common practice, no source. */
#define THAW_RINSE_S               3600.0
/* Dye powder in a level teaspoon of 4.93 mL at 0.4 to 0.8 kg/L: estimate. */
#define THAW_SPOON_LOW_KG          0.0020
#define THAW_SPOON_HIGH_KG         0.0040
/* Depth on weight of goods in ice dyeing: 1 to 4 % usual, 6 % heavy; estimate, beside 0.1 to 0.5 % pale, 6 to 8 %
 * black in baths, from memory (dyers' manuals). */
#define THAW_DEPTH_PALE            0.01
#define THAW_DEPTH_USUAL           0.04  /* upper end */
#define THAW_DEPTH_HEAVY           0.06
/* Protein fibres suffer from long soda: silk 4 to 6 h seen. */
#define THAW_SILK_MOST_S           (6.0 * 3600.0)

#endif
