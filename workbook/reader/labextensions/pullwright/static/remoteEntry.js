// How JupyterLab and Notebook take up an extension that no build step made: a plain
// script leaves a container with `init` and `get`; what the application shares
// arrives with `init`. The module itself is lesson.js.
(() => {
  const here = document.currentScript.src;
  let shared = {};

  async function sharedModule(name) {
    const [version] = Object.values(shared[name]);
    return (await version.get())();
  }

  const containers = (window["_JUPYTERLAB"] ??= {});
  containers.pullwright = {
    init: (scope) => {
      shared = scope;
    },
    get: async () => {
      const { plugin } = await import(new URL("lesson.js", here));
      const [notebook, widgets] = await Promise.all(
        ["@jupyterlab/notebook", "@lumino/widgets"].map(sharedModule),
      );
      // Without the mark the loader takes the module for the plugin.
      return () => ({ __esModule: true, default: plugin(notebook, widgets) });
    },
  };
})();
