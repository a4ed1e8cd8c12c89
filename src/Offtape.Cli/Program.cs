using Offtape.Cli.Shell;

return (int)CommandLine.Run(args);
