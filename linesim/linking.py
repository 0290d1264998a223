"""How compiled functions are put together: what a kernel calls is optimised once, as part of the kernel.

numba by itself optimises each function together with all that it calls, and makes machine code of it; and then once
more as part of each that calls it, level by level. Functions that compiled code alone calls need none of that: here
they stay as they were lowered, and the kernel that Python calls takes all of them in and is optimised as a whole.
Compiling the engine takes half the time by that. A part has no environment of its own: it raises nothing whose words
are made when it happens, and prints nothing.

This leans on the inside of numba. Where that is not as expected, `linking` gives None, and all is compiled in numba's
own way: the same results, only later.
"""

from __future__ import annotations

import importlib
from dataclasses import dataclass
from typing import Any

from linesim.folding import Tier, folded

__all__ = ["TIERS", "Linking", "linking"]

TIERS: list[Tier] = []
"""Of which kernels are compiled that take some things for granted."""


@dataclass(frozen=True)
class Linking:
    """Classes that numba is to use.

    Attributes
    ----------
    part : type
        Compiler of a function that compiled code alone calls.
    kernel : type
        Compiler of a function that Python calls.
    part_dispatcher : type
        A function that compiled code alone calls: compiled once for whole numbers of whatever width.
    dispatcher : type
        A function that Python calls as a kernel, and compiled code as a part.
    """

    part: type
    kernel: type
    part_dispatcher: type
    dispatcher: type


def _callers_first(libraries: list[Any], part: Any) -> list[Any]:
    """These libraries and all that they call, each after its callers: a linker leaves out what nobody has asked for."""
    done: dict[Any, None] = {}

    def visit(library: Any) -> None:
        if library not in done:
            for called in library._linking_libraries if isinstance(library, part) else ():  # noqa: SLF001 - numba's own
                visit(called)
            done[library] = None

    for library in libraries:
        visit(library)
    return [*reversed(done)]


def _libraries() -> tuple[type, type]:
    """What holds the code of a part, and of a kernel."""
    codegen: Any = importlib.import_module("numba.core.codegen")
    base: Any = codegen.JITCodeLibrary

    class NoEnvironment:
        """What a part is told of its environment goes nowhere: it has no address yet."""

        def set_env(self, env_name: str, env: object) -> None:
            pass

    class PartLibrary(base):  # type: ignore[misc]
        """Code as it was lowered, with the libraries that it calls."""

        codegen = NoEnvironment()

        def finalize(self) -> None:
            self._raise_if_finalized()
            self._finalize_dynamic_globals()
            self._finalized = True

        def get_pointer_to_function(self, name: str) -> int:  # noqa: ARG002
            return 0

    class KernelLibrary(base):  # type: ignore[misc]
        """Code that Python calls, with all parts in it."""

        def finalize(self) -> None:
            self._linking_libraries[:] = _callers_first(self._linking_libraries, PartLibrary)
            super().finalize()

    return PartLibrary, KernelLibrary


def _folding() -> tuple[type, type]:
    """The pass that folds what a kernel takes for granted, and the one behind which it comes."""
    passes: Any = importlib.import_module("numba.core.compiler_machinery")
    untyped: Any = importlib.import_module("numba.core.untyped_passes")
    processor: Any = importlib.import_module("numba.core.postproc").PostProcessor

    @passes.register_pass(mutates_CFG=True, analysis_only=False)
    class FoldGranted(passes.FunctionPass):  # type: ignore[misc]
        """All before types are known, so that what is left out is not even looked at."""

        _name = "linesim_fold_granted"

        def __init__(self) -> None:
            super().__init__()

        def run_pass(self, state: Any) -> bool:
            if not folded(state.func_ir, state.args, TIERS):
                return False
            processor(state.func_ir).run()
            return True

    return FoldGranted, untyped.InlineInlinables


def linking() -> Linking | None:
    """The classes, or None where numba is not as expected."""
    try:
        compiler: Any = importlib.import_module("numba.core.compiler")
        fold, inlining = _folding()
        dispatcher: Any = importlib.import_module("numba.core.registry").CPUDispatcher
        types: Any = importlib.import_module("numba.core.types")
        part_library, kernel_library = _libraries()
    except (ImportError, AttributeError):
        return None

    def compiling_into(library_class: type) -> type:
        class Into(compiler.Compiler):  # type: ignore[misc]
            def define_pipelines(self) -> list[Any]:
                passes = compiler.DefaultPassBuilder.define_nopython_pipeline(self.state)
                passes.add_pass_after(fold, inlining)
                passes.finalize()
                return [passes]

            def compile_extra(self, func: Any) -> Any:
                if self.state.library is None:
                    library = library_class(self.state.targetctx.codegen(), func.__qualname__)
                    library.enable_object_caching()
                    self.state.library = library
                return super().compile_extra(func)

        return Into

    def widened(argument: Any) -> Any:
        is_whole = isinstance(argument, (types.Integer, types.IntegerLiteral)) and types.unliteral(argument).signed
        return types.int64 if is_whole else argument

    class PartDispatcher(dispatcher):  # type: ignore[misc]
        """A function that compiled code alone calls; what it does with a whole number does not hang on its width."""

        def get_call_template(self, args: Any, kws: Any) -> Any:
            _, folded_args = self._compiler.fold_argument_types(args, kws)
            return super().get_call_template(tuple(widened(each) for each in folded_args), {})

    class LawDispatcher(dispatcher):  # type: ignore[misc]
        """A function that Python calls as a kernel, and compiled code as a part."""

        part: Any

        @property
        def _numba_type_(self) -> Any:
            return types.Dispatcher(self.part)

        def __reduce__(self) -> str:
            return str(self.__qualname__)

    return Linking(compiling_into(part_library), compiling_into(kernel_library), PartDispatcher, LawDispatcher)
