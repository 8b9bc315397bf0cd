/** Air at 20 degrees C and 101.325 kPa (ISO 9613-1 reference conditions; rounded). */
export const SPEED_OF_SOUND_M_PER_S = 343.2;
export const AIR_DENSITY_KG_PER_M3 = 1.204;
