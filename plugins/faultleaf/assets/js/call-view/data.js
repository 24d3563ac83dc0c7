/* Loads what a symptom needs, when it is needed: scripts of the site's own folder, appended one by one. */
(function () {
  "use strict";

  const FOLDER = "assets/faultleaf/";
  /** @type {Map<string, Promise<void>>} */
  const asked = new Map();

  /** @param {string} address @returns {Promise<void>} */
  function loadScript(address) {
    const before = asked.get(address);
    if (before) return before;
    const loading = new Promise((done, failed) => {
      const script = document.createElement("script");
      script.src = address;
      script.addEventListener("load", () => done(undefined));
      script.addEventListener("error", () => {
        asked.delete(address);
        failed(new Error(`A file of the site is missing: ${address}`));
      });
      document.head.append(script);
    });
    asked.set(address, loading);
    return loading;
  }

  /**
   * @param {readonly string[]} symptoms ids that the site has
   * @param {string} base
   * @returns {Promise<{library: any, words: any}>}
   */
  async function loadSymptoms(symptoms, base) {
    const folders = ["engine-data/symptoms/", "call-words/symptoms/"];
    const data = globalThis.faultleafData, at = (folder, id) => `${base || "./"}${FOLDER}${folder}${id}.js`;
    await Promise.all(symptoms.flatMap((id) => folders.map((folder) => loadScript(at(folder, id)))));
    const drawn = symptoms.filter((id) => data["words/shared"].symptoms[id].charts);
    await Promise.all(drawn.map((id) => loadScript(at("engine-data/charts/", id))));
    return {
      library: globalThis.faultleaf.engine.joinLibrary(data.shared, symptoms.map((id) => data[`symptoms/${id}`])),
      words: wordsOf(symptoms),
    };
  }

  /** Loads what works a sum, one script after the other, as they lean on each other. @param {string} base */
  async function loadWorksheets(base) {
    for (const name of globalThis.faultleafData["words/shared"].worksheet_scripts) await loadScript(`${base || "./"}${FOLDER}${name}`);
  }

  /** @returns {any} the words of symptoms that were loaded; with none, what every call shares */
  function wordsOf(symptoms) {
    const data = globalThis.faultleafData, { Words } = globalThis.faultleaf.callView;
    return new Words(data["words/shared"], symptoms.map((id) => data[`words/symptoms/${id}`]), data.shared);
  }

  Object.assign(globalThis.faultleaf.callView, { loadScript, loadSymptoms, loadWorksheets, wordsOf });
})();
