/* Water and steam by IAPWS-IF97 (IAPWS R7-97(2012)): the saturation line (Eq 30, 31), region 1 (Eq 7) and region 2
 * (Eq 15 to 17). SI base units throughout. physics/water.py does the same from a library; tests hold both together. */
(function () {
  "use strict";

  const R = 461.526; // J/(kg K)
  const SEA_LEVEL = 101325, COLDEST = 273.16, HOTTEST = 473.15, LEAST = 611.657, MOST = 1.5549e6;
  const S = [0, 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3];
  /** Region 1: I, J, n of Table 2. */
  const REGION_1 = [
    [0, -2, 0.14632971213167], [0, -1, -0.84548187169114], [0, 0, -3.756360367204],
    [0, 1, 3.3855169168385], [0, 2, -0.95791963387872], [0, 3, 0.15772038513228],
    [0, 4, -0.016616417199501], [0, 5, 0.00081214629983568], [1, -9, 0.00028319080123804],
    [1, -7, -0.00060706301565874], [1, -1, -0.018990068218419], [1, 0, -0.032529748770505],
    [1, 1, -0.021841717175414], [1, 3, -5.283835796993e-05], [2, -3, -0.00047184321073267],
    [2, 0, -0.00030001780793026], [2, 1, 4.7661393906987e-05], [2, 3, -4.4141845330846e-06],
    [2, 17, -7.2694996297594e-16], [3, -4, -3.1679644845054e-05], [3, 0, -2.8270797985312e-06],
    [3, 6, -8.5205128120103e-10], [4, -5, -2.2425281908e-06], [4, -2, -6.5171222895601e-07],
    [4, 10, -1.4341729937924e-13], [5, -8, -4.0516996860117e-07], [8, -11, -1.2734301741641e-09],
    [8, -6, -1.7424871230634e-10], [21, -29, -6.8762131295531e-19], [23, -31, 1.4478307828521e-20],
    [29, -38, 2.6335781662795e-23], [30, -39, -1.1947622640071e-23], [31, -40, 1.8228094581404e-24],
    [32, -41, -9.3537087292458e-26],
  ];
  /** Region 2, ideal gas part: J, n of Table 10. */
  const IDEAL_2 = [
    [0, -9.6927686500217], [1, 10.086655968018], [-5, -0.005608791128302],
    [-4, 0.071452738081455], [-3, -0.40710498223928], [-2, 1.4240819171444],
    [-1, -4.383951131945], [2, -0.28408632460772], [3, 0.021268463753307],
  ];
  /** Region 2, residual part: I, J, n of Table 11. */
  const REST_2 = [
    [1, 0, -0.0017731742473213], [1, 1, -0.017834862292358], [1, 2, -0.045996013696365],
    [1, 3, -0.057581259083432], [1, 6, -0.05032527872793], [2, 1, -3.3032641670203e-05],
    [2, 2, -0.00018948987516315], [2, 4, -0.0039392777243355], [2, 7, -0.043797295650573],
    [2, 36, -2.6674547914087e-05], [3, 0, 2.0481737692309e-08], [3, 1, 4.3870667284435e-07],
    [3, 3, -3.227767723857e-05], [3, 6, -0.0015033924542148], [3, 35, -0.040668253562649],
    [4, 1, -7.8847309559367e-10], [4, 2, 1.2790717852285e-08], [4, 3, 4.8225372718507e-07],
    [5, 7, 2.2922076337661e-06], [6, 3, -1.6714766451061e-11], [6, 16, -0.0021171472321355],
    [6, 35, -23.895741934104], [7, 0, -5.905956432427e-18], [7, 11, -1.2621808899101e-06],
    [7, 25, -0.038946842435739], [8, 8, 1.1256211360459e-11], [8, 36, -8.2311340897998],
    [9, 13, 1.9809712802088e-08], [10, 4, 1.0406965210174e-19], [10, 10, -1.0234747095929e-13],
    [10, 14, -1.0018179379511e-09], [16, 29, -8.0882908646985e-11], [16, 50, 0.10693031879409],
    [18, 57, -0.33662250574171], [20, 20, 8.9185845355421e-25], [20, 35, 3.0629316876232e-13],
    [20, 48, -4.2002467698208e-06], [21, 21, -5.9056029685639e-26], [22, 53, 3.7826947613457e-06],
    [23, 39, -1.2768608934681e-15], [24, 26, 7.3087610595061e-29], [24, 40, 5.5414715350778e-17],
    [24, 58, -9.436970724121e-07],
  ];

  /** Raised where a sum leaves the range of its physics; the message is for people. */
  class OutOfRange extends Error {}

  function inRange(temperature) {
    if (temperature >= COLDEST && temperature <= HOTTEST) return temperature;
    throw new OutOfRange("the temperature lies outside 32 to 392 °F, where the water here is liquid");
  }

  function boilingAt(pressure) {
    if (pressure >= LEAST && pressure <= MOST) return pressure;
    throw new OutOfRange("the absolute pressure lies outside 0.09 to 225 psi");
  }

  /** @param {number} temperature K @returns {number} Pa (Eq 30) */
  function saturationPressure(temperature) {
    inRange(temperature);
    const t = temperature + S[9] / (temperature - S[10]);
    const a = t * t + S[1] * t + S[2], b = S[3] * t * t + S[4] * t + S[5], c = S[6] * t * t + S[7] * t + S[8];
    return Math.pow((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c)), 4) * 1e6;
  }

  /** @param {number} pressure Pa, absolute @returns {number} K (Eq 31) */
  function boilingPoint(pressure) {
    const p = Math.pow(boilingAt(pressure) / 1e6, 0.25);
    const e = p * p + S[3] * p + S[6], f = S[1] * p * p + S[4] * p + S[7], g = S[2] * p * p + S[5] * p + S[8];
    const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
    return (S[10] + d - Math.sqrt((S[10] + d) * (S[10] + d) - 4 * (S[9] + S[10] * d))) / 2;
  }

  /** @returns {{v: number, h: number}} m3/kg and J/kg of liquid water at K and Pa (Eq 7) */
  function region1(temperature, pressure) {
    const pi = pressure / 16.53e6, tau = 1386 / temperature;
    let byPi = 0, byTau = 0;
    for (const [i, j, n] of REGION_1) {
      byPi -= n * i * Math.pow(7.1 - pi, i - 1) * Math.pow(tau - 1.222, j);
      byTau += n * j * Math.pow(7.1 - pi, i) * Math.pow(tau - 1.222, j - 1);
    }
    return { v: (pi * byPi * R * temperature) / pressure, h: tau * byTau * R * temperature };
  }

  /** @returns {{v: number, h: number}} m3/kg and J/kg of steam at K and Pa (Eq 15 to 17) */
  function region2(temperature, pressure) {
    const pi = pressure / 1e6, tau = 540 / temperature;
    let byPi = 1 / pi, byTau = 0;
    for (const [j, n] of IDEAL_2) byTau += n * j * Math.pow(tau, j - 1);
    for (const [i, j, n] of REST_2) {
      byPi += n * i * Math.pow(pi, i - 1) * Math.pow(tau - 0.5, j);
      byTau += n * j * Math.pow(pi, i) * Math.pow(tau - 0.5, j - 1);
    }
    return { v: (pi * byPi * R * temperature) / pressure, h: tau * byTau * R * temperature };
  }

  const boilingWaterHeat = (pressure) => region1(boilingPoint(pressure), pressure).h;
  const steamHeat = (pressure) => region2(boilingPoint(pressure), pressure).h;
  const steamVolume = (pressure) => region2(boilingPoint(pressure), pressure).v;
  const latentHeat = (pressure) => steamHeat(pressure) - boilingWaterHeat(pressure);
  /** Liquid under air or its own steam, whichever presses more. */
  const liquid = (temperature) => region1(temperature, Math.max(SEA_LEVEL, saturationPressure(temperature)));
  const waterDensity = (temperature) => 1 / liquid(temperature).v;
  const waterHeat = (temperature) => liquid(temperature).h;

  /** @param {number} height m above the sea @returns {number} Pa (U.S. Standard Atmosphere 1976, lowest layer) */
  function airPressure(height) {
    if (height >= -500 && height <= 5000) return SEA_LEVEL * Math.pow(1 - (0.0065 / 288.15) * height, 5.25588);
    throw new OutOfRange("the height lies outside -1,640 to 16,400 ft above the sea");
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.physics = Object.freeze({
    OutOfRange, saturationPressure, boilingPoint, region1, region2, boilingWaterHeat, steamHeat, steamVolume, latentHeat,
    waterDensity, waterHeat, airPressure,
  });
})();
