/**
 * Version of the model that made a result. It rises with every change that moves a printed number;
 * CHANGELOG.md says by how much. A sealed prediction names the version that made it.
 */
export const modelVersion = "0.2.0";
