"""How the course's own JupyterLab runs. JupyterLab reads this file; learners need not."""

from coldcab.course import drop_live_instruments

c = get_config()  # noqa: F821  (JupyterLab provides it)

c.ServerApp.open_browser = False
c.ServerApp.terminals_enabled = False
c.ServerApp.answer_yes = True
c.ServerApp.jpserver_extensions = {
    "jupyter_lsp": False,
    "jupyter_server_terminals": False,
    "notebook": False,
    "nbgrader.server_extensions.course_list": False,
    "nbgrader.server_extensions.formgrader": False,
}
# Only the Python that runs the course; a kernel of another environment would not find the course's package.
c.KernelSpecManager.allowed_kernelspecs = {"python3"}
# A kernel whose page is gone is ended after half an hour; one whose page is open, never: its instruments would die.
c.MappingKernelManager.cull_idle_timeout = 1800
c.MappingKernelManager.cull_interval = 300
c.MappingKernelManager.cull_connected = False
# A move of a control is answered at once, not when the browser has confirmed the message before.
c.ServerApp.kernel_websocket_connection_class = "coldcab.course.prompt_connection.PromptConnection"
# A saved page shows each instrument's last picture, since the instrument itself lives no longer than its kernel.
c.ContentsManager.pre_save_hook = drop_live_instruments

c.LabApp.custom_css = True
c.LabApp.news_url = None
c.LabApp.check_for_updates_class = "jupyterlab.NeverCheckForUpdate"
c.LabApp.extension_manager = "readonly"
