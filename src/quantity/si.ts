/**
 * SI types: a number branded with its coherent SI unit. The brand guards the border of exported
 * functions; inside a body plain numbers are fine. Dimensionless ratios are bare numbers.
 */
declare const unit: unique symbol;
/** A number in the coherent SI unit named by `U`. */
export type Si<U extends string> = number & { readonly [unit]: U };

export type Pressure = Si<"Pa, absolute">;
export type PressureDifference = Si<"Pa, difference">;
/** Stress, strength or modulus of a solid. */
export type Stress = Si<"Pa, stress">;
/** Intensity of the stress at the tip of a crack. */
export type StressIntensity = Si<"Pa m^0.5">;
export type Temperature = Si<"K, absolute">;
export type TemperatureDifference = Si<"K, difference">;
export type Length = Si<"m">;
export type Area = Si<"m2">;
export type Volume = Si<"m3">;
export type Mass = Si<"kg">;
export type Time = Si<"s">;
export type Angle = Si<"rad">;
export type AngularSpeed = Si<"rad/s">;
export type AngularAcceleration = Si<"rad/s2">;
export type Speed = Si<"m/s">;
export type Force = Si<"N">;
export type Torque = Si<"N m">;
export type Energy = Si<"J">;
export type Power = Si<"W">;
export type Inertia = Si<"kg m2">;
export type AngularStiffness = Si<"N m/rad">;
export type AngularDamping = Si<"N m s/rad">;
export type Density = Si<"kg/m3">;
export type MolarDensity = Si<"mol/m3">;
export type MassFlow = Si<"kg/s">;
export type VolumeFlow = Si<"m3/s">;
export type Viscosity = Si<"Pa s">;
export type KinematicViscosity = Si<"m2/s">;
export type Conductivity = Si<"W/(m K)">;
export type SurfaceTension = Si<"N/m">;
export type SpecificEnergy = Si<"J/kg">;
export type SpecificEntropy = Si<"J/(kg K)">;
export type Voltage = Si<"V">;
export type Current = Si<"A">;
export type Resistance = Si<"ohm">;
export type Inductance = Si<"H">;
/** N m/A, equal to V s/rad. */
export type TorqueConstant = Si<"N m/A">;
export type HeatCapacity = Si<"J/K">;
export type ThermalResistance = Si<"K/W">;
/**
 * Flow coefficient as an SI quantity: volume flow per root of (pressure difference over density),
 * Q = C sqrt(dp/rho), so C is an area [m2] in coherent SI. Kv and Cv are its everyday names.
 */
export type FlowCoefficient = Si<"m2, Q = C sqrt(dp/rho)">;
