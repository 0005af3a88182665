/** An emission line of nebulae. */
export interface NamedLine {
  /** Short ASCII name. */
  readonly name: string;
  readonly label: string;
  /** Wavelength in air in nm. */
  readonly wavelength: number;
}

/**
 * Lines that filters are made for, by rising wavelength.
 * Vacuum wavelengths of survey line lists brought to air with P. E. Ciddor, Refractive index of air, Appl. Opt. 35(9)
 * 1566–1573, 1996; Hγ, He I, [O I] and [Ar III] from memory of the NIST Atomic Spectra Database. Published values of
 * the hydrogen lines differ by 0.003 nm with the treatment of fine structure.
 */
export const NAMED_LINES: readonly NamedLine[] = [
  { name: 'Hg', label: 'Hγ', wavelength: 434.047 },
  { name: 'HeII', label: 'He II 468.6', wavelength: 468.568 },
  { name: 'Hb', label: 'Hβ', wavelength: 486.133 },
  { name: 'OIII-495', label: '[O III] 495.9', wavelength: 495.891 },
  { name: 'OIII', label: '[O III] 500.7', wavelength: 500.684 },
  { name: 'HeI', label: 'He I 587.6', wavelength: 587.562 },
  { name: 'OI', label: '[O I] 630.0', wavelength: 630.03 },
  { name: 'NII-654', label: '[N II] 654.8', wavelength: 654.804 },
  { name: 'Ha', label: 'Hα', wavelength: 656.28 },
  { name: 'NII', label: '[N II] 658.3', wavelength: 658.346 },
  { name: 'SII', label: '[S II] 671.6', wavelength: 671.644 },
  { name: 'SII-673', label: '[S II] 673.1', wavelength: 673.082 },
  { name: 'ArIII', label: '[Ar III] 713.6', wavelength: 713.579 },
];
