"""How compiled functions are put together: what a kernel calls is optimised once, as part of the kernel.

numba by itself optimises each function together with all that it calls, and makes machine code of it; and then once
more as part of each that calls it, level by level. Functions that compiled code alone calls need none of that: they
stay as they were lowered, and the kernel that Python calls takes all of them in and is optimised as a whole, in half
the time. A part has no environment of its own: it raises nothing whose words are made when it happens, nor prints.

This leans on the inside of numba. Where that is not as expected, `linking` gives None, and all is compiled in numba's
own way: the same results, only later.
"""

from __future__ import annotations

import importlib
from dataclasses import dataclass
from functools import cache
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

        def _optimize_functions(self, module: Any) -> None:
            """Left to the kernel, which is optimised as a whole."""
            module.data_layout = self._codegen._data_layout  # noqa: SLF001 - as numba does

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

        def _optimize_final_module(self) -> None:
            """Once: numba's first round brings counts of references together, and nothing here counts any."""
            passes, builder = self._codegen._module_pass_manager()  # noqa: SLF001 - as numba does
            passes.run(self._final_module, builder)

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
            folded(state.func_ir, state.args, TIERS)
            processor(state.func_ir).run()
            return True

    return FoldGranted, untyped.InlineInlinables


_NEEDLESS = {
    "WithLifting", "InlineClosureLikes", "RewriteSemanticConstants", "DeadBranchPrune", "RewriteDynamicRaises",
    "MakeFunctionToJitFunction", "FindLiterallyCalls", "LiteralUnroll", "LiteralPropagationSubPipelinePass",
    "InlineOverloads", "NopythonRewrites", "NoPythonSupportedFeatureValidation", "AnnotateTypes",
    "DumpParforDiagnostics",
}  # fmt: skip
"""Steps of numba's own way for what no function here has: arrays, closures, generators, blocks under with."""


def _straight() -> type:
    """The manager of the steps that goes from one to the next, and keeps no account of each for people who listen."""
    machinery: Any = importlib.import_module("numba.core.compiler_machinery")

    class Straight(machinery.PassManager):  # type: ignore[misc]
        """A quarter of the time of compiling goes into such accounts, and into looking each function over again."""

        def _runPass(self, index: int, step: Any, state: Any) -> None:  # noqa: ARG002, N802 - so numba calls it
            step.analysis = self._analysis
            step.run_initialization(state)
            step.run_pass(state)
            step.run_finalizer(state)

    return Straight


class _Remembering:
    """A typing context that is asked once what type an operator gives for numbers of some types."""

    def __init__(self, context: Any, operators: type, numbers: tuple[type, ...]) -> None:
        self._context, self._operators, self._numbers = context, operators, numbers
        self._known: dict[Any, Any] = {}

    def __getattr__(self, name: str) -> Any:
        return getattr(self._context, name)

    def resolve_function_type(self, function: Any, args: Any, kws: Any) -> Any:
        if kws or not isinstance(function, self._operators) or not all(isinstance(a, self._numbers) for a in args):
            return self._context.resolve_function_type(function, args, kws)
        asked = function, tuple(args)
        if asked not in self._known:
            self._known[asked] = self._context.resolve_function_type(function, args, kws)
        return self._known[asked]


_PLAIN = {bool, int, float}

_TRIED = {(0, 68)}  # versions of numba of which it is known what compiled code calls; with less at hand it would crash


def _compilers() -> tuple[type, type]:
    """Compilers of a part and of a kernel."""
    compiler: Any = importlib.import_module("numba.core.compiler")
    types: Any = importlib.import_module("numba.core.types")
    fold, inlining = _folding()
    straight = _straight()

    @cache
    def remembering(context: Any) -> Any:
        return _Remembering(context, types.Function, (types.Number, types.Boolean))

    def compiling_into(library_class: type) -> type:
        class Into(compiler.Compiler):  # type: ignore[misc]
            def define_pipelines(self) -> list[Any]:
                usual = compiler.DefaultPassBuilder.define_nopython_pipeline(self.state)
                usual.add_pass_after(fold, inlining)
                passes = straight("linesim")
                passes.passes = [each for each in usual.passes if each[0].__name__ not in _NEEDLESS]
                passes.finalize()
                return [passes]

            def compile_extra(self, func: Any) -> Any:
                if self.state.library is None:
                    library = library_class(self.state.targetctx.codegen(), func.__qualname__)
                    library.enable_object_caching()
                    self.state.library = library
                self.state.typingctx = remembering(self.state.typingctx)
                return super().compile_extra(func)

        return Into

    part_library, kernel_library = _libraries()
    return compiling_into(part_library), compiling_into(kernel_library)


def _part_dispatcher() -> type:
    """What calls a function that compiled code alone calls."""
    dispatcher: Any = importlib.import_module("numba.core.registry").CPUDispatcher
    types: Any = importlib.import_module("numba.core.types")
    normalized: Any = importlib.import_module("numba.core.sigutils").normalize_signature

    def widened(argument: Any) -> Any:
        is_whole = isinstance(argument, (types.Integer, types.IntegerLiteral)) and types.unliteral(argument).signed
        return types.int64 if is_whole else argument

    class PartDispatcher(dispatcher):  # type: ignore[misc]
        """A function that compiled code alone calls; what it does with a whole number does not hang on its width."""

        def get_call_template(self, args: Any, kws: Any) -> Any:
            _, folded_args = self._compiler.fold_argument_types(args, kws)
            return super().get_call_template(tuple(widened(each) for each in folded_args), {})

        def compile(self, sig: Any) -> Any:
            """Within the kernel that takes it in, whose compiling is timed and locked."""
            args, return_type = normalized(sig)
            if (known := self.overloads.get(tuple(args))) is None:
                with self._compiling_counter:
                    known = self._compiler.compile(args, return_type)
                    self.add_overload(known)
            return known.entry_point

    return PartDispatcher


def _law_dispatcher() -> type:
    """What calls a function that Python calls."""
    dispatcher: Any = importlib.import_module("numba.core.registry").CPUDispatcher
    types: Any = importlib.import_module("numba.core.types")
    caching: Any = importlib.import_module("numba.core.caching")
    runtime: Any = importlib.import_module("numba.core.runtime").rtsys
    is_known = importlib.import_module("numba").version_info.short in _TRIED

    class Kept(caching.FunctionCache):  # type: ignore[misc]
        """Loads what lies on disk with what compiled code calls; numba first fetches all that compiling takes."""

        def load_overload(self, sig: Any, target_context: Any) -> Any:
            runtime.initialize(target_context)
            with self._guard_against_spurious_io_errors():
                return self._load_overload(sig, target_context)

    class LawDispatcher(dispatcher):  # type: ignore[misc]
        """A function that Python calls as a kernel, and compiled code as a part.

        Its first calls may be left to Python, as compiling or loading it takes longer than thousands of them. numpy's
        numbers go into compiled code at once, and so does what Python alone refuses: an overflow, a root below zero.
        """

        part: Any
        calls_by_python = 0

        def enable_caching(self) -> None:
            self._cache = (Kept if is_known else caching.FunctionCache)(self.py_func)

        def _compile_for_args(self, *args: Any, **kws: Any) -> Any:
            if self.calls_by_python and not kws and all(type(each) in _PLAIN for each in args):
                self.calls_by_python -= 1
                return self._by_python
            return super()._compile_for_args(*args, **kws)

        def _by_python(self, *args: Any) -> Any:
            try:
                return self.py_func(*args)
            except (ArithmeticError, ValueError):
                self.calls_by_python = 0
                return self(*args)

        @property
        def _numba_type_(self) -> Any:
            return types.Dispatcher(self.part)

        def __reduce__(self) -> str:
            return str(self.__qualname__)

    return LawDispatcher


def linking() -> Linking | None:
    """The classes, or None where numba is not as expected."""
    try:
        return Linking(*_compilers(), _part_dispatcher(), _law_dispatcher())
    except (ImportError, AttributeError):
        return None
